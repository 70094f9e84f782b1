// Whatever stands for a unit or a value, parsing it ends in a finite number or an
// InputError.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "libloop/base/error.hpp"
#include "libloop/quantity/unit.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  try {
    const libloop::Unit unit = libloop::parse_unit(text);
    if (!std::isfinite(unit.factor) || unit.factor <= 0.0) std::abort();
    libloop::show(1.0, text);
  } catch (const libloop::InputError&) {
  }
  for (const char* wanted : {"mm", "C", "1", "W/(m K)"}) {
    try {
      if (!std::isfinite(libloop::parse_value(text, wanted))) std::abort();
    } catch (const libloop::InputError&) {
    }
  }
  return 0;
}
