// Whatever bytes a file holds, reading it ends in a document or an InputError.
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "libloop/files/schema.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  for (const libloop::Schema* schema : {&libloop::cooler_schema(), &libloop::bench_schema()}) {
    try {
      const libloop::Document document = libloop::read_document(text, "fuzz", *schema);
      // Messages must come out whole, too.
      if (!document.problems.empty()) throw libloop::InputError(document.problems);
    } catch (const libloop::InputError&) {
    }
  }
  return 0;
}
