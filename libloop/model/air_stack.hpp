// What one way of the air is made of: rows of fans, cores cut into zones where fans begin
// and end, openings, and the spaces between them.
//
// Fans stand in a row along the face, the first at its beginning. Each has a space of its
// own between itself and the core; a shroud makes one space of all. Between two cores of
// one size air goes straight on; everything else meets in one space.
#pragma once

#include <string>
#include <vector>

#include "libloop/model/wiring.hpp"

namespace libloop {

struct AirStack {
  // Spaces are numbered: 0 where the way begins, 1 where it ends, 2... between its parts.
  static constexpr int begin = 0, end = 1;

  struct FanPlace {
    const Sheet* sheet;
    int copy;
    double size;       // m, of the frame
    int from, to;      // spaces
    bool before_core;  // blows into a core
    bool counts;       // in the air flow of the whole
    // Beside the fan: core without a fan (share of its face) and fan without a core (m2);
    // null: no core beside it.
    const Sheet* leak_of = nullptr;
    double uncovered = 0.0, overhang = 0.0;
    int leak_from = 0, leak_to = 0;
  };
  struct ZonePlace {
    const Sheet* radiator;
    bool hub_shadow;       // a row of fans stands directly before or behind the core
    const Sheet* shroud;   // that relieves its shadow; null: none
    double share;          // of the face length
    double covered_width;  // share of the tubes behind a fan
    int from, to;
    bool air;  // false: both sides are the same space, so that nothing drives air through
  };
  struct OpeningPlace {
    const Sheet* sheet;
    int from, to;
  };

  int spaces = 2;
  std::vector<FanPlace> fans;
  std::vector<ZonePlace> zones;  // along the face, radiator after radiator
  std::vector<OpeningPlace> openings;
  std::vector<OpeningPlace> shrouds;  // their leaks
};

AirStack stack_of(const AirRun& run);

}  // namespace libloop
