#include "libloop/model/wiring.hpp"

#include <fmt/format.h>

#include "libloop/model/half_wiring.hpp"
#include "libloop/model/paths.hpp"

namespace libloop {

std::string path_of(const Cooler& cooler, const Sheet& sheet) {
  const std::vector<const Sheet*> sheets = cooler.sheets();
  const std::vector<std::string> paths = paths_of(sheets);
  for (std::size_t i = 0; i < sheets.size(); ++i) {
    if (sheets[i] == &sheet) return paths[i];
  }
  return sheet.path();
}

void HalfWiring::refuse(const char* kind) {
  if (cooler_.all(kind).empty()) return;
  const std::string path = path_of(cooler_, *cooler_.all(kind).front());
  fail(Code::conflict, fmt::format("{} has no place in a sealed loop", path),
       "Say how the parts are joined: add [network].", path);
}

Network sealed_loop(const Cooler& cooler) {
  const auto name = [&](const char* kind) {
    const std::vector<const Sheet*> parts = cooler.all(kind);
    return parts.empty() ? std::string(kind) : paths_of(parts).front();
  };
  const std::string radiator = name("radiator"), tube = name("tube"), pump = name("pump"),
                    plate = name("cold_plate");
  Network network;
  network.join = {{radiator + ".out", tube + ".1.in"},
                  {tube + ".1.out", pump + ".in"},
                  {pump + ".out", plate + ".in"},
                  {plate + ".out", tube + ".2.in"},
                  {tube + ".2.out", radiator + ".in"}};
  const std::vector<const Sheet*> fans = cooler.all("fan");
  const std::vector<std::string> paths = paths_of(fans);
  std::vector<std::string> pushing, pulling;
  for (std::size_t i = 0; i < fans.size(); ++i) {
    (fans[i]->choice("side") == "push" ? pushing : pulling).push_back(paths[i]);
  }
  AirPath air;
  if (!pushing.empty()) air.through.push_back(pushing);
  air.through.push_back({radiator});
  if (!pulling.empty()) air.through.push_back(pulling);
  network.air = {air};
  return network;
}

Wiring wire(const Cooler& cooler) {
  Network network = cooler.network;
  const bool ring = network.join.empty(), sealed = network.empty();
  const Network usual = sealed_loop(cooler);
  if (ring) network.join = usual.join;
  if (sealed) network.air = usual.air;
  Wiring wiring;
  wire_coolant(cooler, network, ring, wiring);
  if (!ring || wiring.problems.empty()) wire_air(cooler, network, sealed, wiring);
  return wiring;
}

}  // namespace libloop
