#include "libloop/model/rated_speed.hpp"

#include <vector>

namespace libloop {

RatedSpeed rated_speed(const Cooler& cooler, std::string_view kind) {
  const std::vector<const Sheet*> all = cooler.all(kind);
  // An entry of fans holds several.
  const bool one = all.size() == 1 && kind == "pump";
  RatedSpeed speed{std::string(kind) + (one ? "" : "s")};
  for (const Sheet* machine : all) {
    const double value = machine->typical("rated_speed");
    if (machine == all.front()) speed.value = value;
    speed.alike = speed.alike && value == speed.value;
    speed.given = speed.given && machine->given("rated_speed");
  }
  return speed;
}

}  // namespace libloop
