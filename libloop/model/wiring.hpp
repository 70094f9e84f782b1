// Who is joined to whom: the names of a cooler's network as parts between places. A cooler
// that names nothing is a sealed loop, which is written down here as any other network; one
// that names only its air has the ring of a sealed loop.
#pragma once

#include <string>
#include <vector>

#include "libloop/model/cooler.hpp"

namespace libloop {

struct CoolantPart {
  const Sheet* sheet = nullptr;
  std::string name;  // "radiator.top", "tube.2"
  int from = -1, to = -1;
};

struct AirPlace {
  std::string name;
  const Sheet* enclosure = nullptr;  // a case; null: outside (place 0), or a mere meeting
};

struct AirRun {
  int from = 0, to = 0;
  std::vector<std::vector<const Sheet*>> items;
};

struct Wiring {
  std::vector<std::string> coolant_places;
  std::vector<CoolantPart> coolant;
  std::vector<AirPlace> air_places;
  std::vector<AirRun> air;
  std::vector<Problem> problems;  // empty, or the rest means nothing
};

// Points into the cooler, which must outlive it.
Wiring wire(const Cooler& cooler);
Wiring wire(Cooler&& cooler) = delete;

// The sealed loop in the words of a network: radiator, tube, pump, plate, tube; fans that
// push before the core and fans that pull behind it.
Network sealed_loop(const Cooler& cooler);

}  // namespace libloop
