// The bench as a whole: how the load is read, and how noise is.
#pragma once

#include "libloop/quantity/declared.hpp"

namespace libloop {

template <class T>
struct BenchItself {
  Choice load_at;
  T power_factor{};
  T background{};
  T distance{};

  template <class Self, class Visit>
  static void describe(Self& self, Visit&& visit);
};

template <class T>
template <class Self, class Visit>
void BenchItself<T>::describe(Self& self, Visit&& visit) {
  visit(self.load_at,
        DeclaredChoice{.name = "load_at",
                       .words = {"hot", "reference"},
                       .meaning = "The load is the power read while hot, or the power at "
                                  "chip.leakage_reference."});
  visit(self.power_factor, Declared{.name = "power_factor",
                                    .unit = "1",
                                    .low = 0.93,
                                    .typical = 1.0,
                                    .high = 1.05,
                                    .min = 0.3,
                                    .max = 3,
                                    .transform = Transform::log,
                                    .kind = Kind::reading,
                                    .scope = Scope::bench,
                                    .source = "judgement",
                                    .meaning = "True over reported power of the chip."});
  visit(self.background, Declared{.name = "background",
                                  .unit = "dBA",
                                  .low = 15,
                                  .typical = 19,
                                  .high = 24,
                                  .min = 0,
                                  .max = 80,
                                  .transform = Transform::none,
                                  .kind = Kind::reading,
                                  .scope = Scope::bench,
                                  .source = "judgement",
                                  .meaning = "Sound level of the room with the cooler off."});
  visit(self.distance, Declared{.name = "distance",
                                .unit = "m",
                                .low = 1,
                                .typical = 1,
                                .high = 1,
                                .min = 0.05,
                                .max = 20,
                                .transform = Transform::none,
                                .kind = Kind::reading,
                                .scope = Scope::bench,
                                .source = "exact",
                                .meaning = "Distance of the microphone; makers rate at 1 m."});
}

}  // namespace libloop
