#include "libloop/files/read.hpp"

#include <filesystem>
#include <fstream>
#include <utility>

#include "libloop/files/assemble.hpp"
#include "libloop/files/document.hpp"
#include "libloop/files/schema.hpp"

namespace libloop {
namespace {

constexpr std::streamsize most_bytes = 1024 * 1024 + 1;  // one more than may be

[[noreturn]] void fail_file(const std::string& path, std::string message, std::string suggestion) {
  throw InputError(
      Problem{Code::file, std::move(message), std::move(suggestion), {path, 0, 0, 1, {}}});
}

std::string bytes_of(const std::string& path) {
  std::error_code ignored;
  const std::filesystem::file_status status = std::filesystem::status(path, ignored);
  if (status.type() == std::filesystem::file_type::not_found) {
    fail_file(path, "there is no such file", "Check the name and the folder.");
  }
  if (std::filesystem::is_directory(status)) {
    fail_file(path, "this is a folder, not a file", "Name a file in it.");
  }
  std::ifstream stream(path, std::ios::binary);
  std::string bytes(static_cast<std::size_t>(most_bytes), '\0');
  if (!stream || !stream.read(bytes.data(), most_bytes).eof()) {
    if (stream) return bytes;  // too long; whoever parses it says so
    fail_file(path, "the file cannot be read", "Check that you may read it.");
  }
  bytes.resize(static_cast<std::size_t>(stream.gcount()));
  return bytes;
}

}  // namespace

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

Cooler read_cooler(const std::string& path) { return parse_cooler(bytes_of(path), path); }

Bench read_bench(const std::string& path) { return parse_bench(bytes_of(path), path); }

}  // namespace libloop
