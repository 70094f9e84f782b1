// Whatever bytes a file holds, reading it ends in a cooler, in a bench or in an InputError.
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

#include "libloop/files/read.hpp"

namespace {

template <class Read>
void attempt(const Read& read) {
  try {
    read();
  } catch (const libloop::InputError& error) {
    // Messages must come out whole, too.
    for (const libloop::Problem& problem : error.problems()) problem.describe();
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  attempt([&] { libloop::parse_cooler(text, "fuzz"); });
  attempt([&] { libloop::parse_bench(text, "fuzz"); });
  return 0;
}
