#include "libloop/files/read.hpp"

#include <utility>

#include "libloop/files/assemble.hpp"
#include "libloop/files/bytes.hpp"
#include "libloop/files/document.hpp"
#include "libloop/files/schema.hpp"

namespace libloop {

Cooler parse_cooler(std::string_view text, const std::string& file) {
  Document document = read_document(text, file, cooler_schema());
  if (document.places.empty() && document.problems.empty()) {
    throw InputError(
        Problem{Code::missing,
                "the file is empty",
                "A cooler file holds at least [radiator] with its class, and one [[fan]].",
                {file, 0, 0, 1, {}}});
  }
  return files::cooler_of(std::move(document));
}

Bench parse_bench(std::string_view text, const std::string& file) {
  return files::bench_of(read_document(text, file, bench_schema()));
}

Cooler read_cooler(const std::string& path) { return parse_cooler(files::bytes_of(path), path); }

Bench read_bench(const std::string& path) { return parse_bench(files::bytes_of(path), path); }

}  // namespace libloop
