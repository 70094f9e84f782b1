// The tester's meters: how far each may be off. They serve measurements only, no prediction.
#pragma once

#include "libloop/quantity/declared.hpp"

namespace libloop {

template <class T>
struct Instruments {
  Nominal chip, ambient, coolant, load, flow, level, level_floor, remount;

  template <class Self, class Visit>
  static void describe(Self& self, Visit&& visit);
};

template <class T>
template <class Self, class Visit>
void Instruments<T>::describe(Self& self, Visit&& visit) {
  visit(self.chip,
        DeclaredNominal{.name = "chip",
                        .unit = "K",
                        .typical = 1,
                        .min = 0.001,
                        .max = 20,
                        .meaning = "The chip's reading is right within so much, either way; "
                                   "judgement. Rounding comes on top."});
  visit(self.ambient,
        DeclaredNominal{.name = "ambient",
                        .unit = "K",
                        .typical = 0.5,
                        .min = 0.001,
                        .max = 20,
                        .meaning = "The ambient probe is right within so much: a thermocouple of "
                                   "type T, class 1 (IEC 60584-1)."});
  visit(self.coolant,
        DeclaredNominal{.name = "coolant",
                        .unit = "K",
                        .typical = 0.5,
                        .min = 0.001,
                        .max = 20,
                        .meaning = "Each coolant probe is right within so much: a thermocouple "
                                   "of type T, class 1 (IEC 60584-1)."});
  visit(self.load, DeclaredNominal{.name = "load",
                                   .unit = "%",
                                   .typical = 3,
                                   .min = 0.001,
                                   .max = 50,
                                   .meaning = "The power reading is right within so much of "
                                              "itself; judgement."});
  visit(self.flow, DeclaredNominal{.name = "flow",
                                   .unit = "%",
                                   .typical = 5,
                                   .min = 0.001,
                                   .max = 90,
                                   .meaning = "The flow meter is right within so much of its "
                                              "reading; judgement."});
  visit(self.level, DeclaredNominal{.name = "level",
                                    .unit = "dB",
                                    .typical = 1,
                                    .min = 0.001,
                                    .max = 10,
                                    .meaning = "The sound level meter is right within so much; "
                                               "judgement."});
  visit(self.level_floor,
        DeclaredNominal{.name = "level_floor",
                        .unit = "dBA",
                        .typical = 25,
                        .min = -10,
                        .max = 80,
                        .meaning = "Lowest level that the sound level meter shows; the maker's "
                                   "figure counts. Judgement."});
  visit(self.remount,
        DeclaredNominal{.name = "remount",
                        .unit = "%",
                        .typical = 2,
                        .min = 0.001,
                        .max = 30,
                        .meaning = "Standard deviation of the rise from one mounting to the "
                                   "next; judgement. Measured remounts take its place."});
}

}  // namespace libloop
