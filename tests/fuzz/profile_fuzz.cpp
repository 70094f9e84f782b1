// Whatever bytes a profile holds, reading it ends in a profile that keeps its promises or in an
// InputError.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "libloop/files/read_profile.hpp"

namespace {

libloop::Model invented() {
  libloop::Cooler cooler;
  cooler.set("radiator.class", "240");
  for (const char* name : {"front", "back"}) {
    libloop::Sheet& fan = cooler.add("fan", name);
    fan.set("rated_speed", "1800 rpm");
    fan.set("side", name[0] == 'f' ? "push" : "pull");
  }
  return {cooler, libloop::generic_bench("one-large-die")};
}

void require(bool holds) {
  if (!holds) std::abort();
}

void check(const libloop::Profile& profile, const libloop::Model& model) {
  require(!profile.times.empty() && profile.times.front() == 0.0);
  require(profile.values.size() == profile.names.size());
  for (std::size_t i = 1; i < profile.times.size(); ++i) {
    require(profile.times[i] >= profile.times[i - 1]);
    require(i < 2 || profile.times[i] > profile.times[i - 2]);
  }
  for (std::size_t c = 0; c < profile.names.size(); ++c) {
    const libloop::Row& row = *model.quantities()[model.index(profile.names[c])].row;
    require(profile.values[c].size() == profile.times.size());
    for (const double value : profile.values[c]) require(value >= row.min && value <= row.max);
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const libloop::Model model = invented();
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  try {
    check(libloop::parse_profile(text, "fuzz", model), model);
  } catch (const libloop::InputError& error) {
    // Messages must come out whole, too.
    for (const libloop::Problem& problem : error.problems()) problem.describe();
  }
  return 0;
}
