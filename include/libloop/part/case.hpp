// A case: air that parts draw from and blow into, apart from the air around.
//
// Its openings are parts of their own (part/opening.hpp). A case without other hardware has
// an own_heat of 0 W.
#pragma once

#include "libloop/quantity/declared.hpp"

namespace libloop {

template <class T>
struct Enclosure {
  T own_heat{};
  T wall_conductance{};

  template <class Self, class Visit>
  static void describe(Self& self, Visit&& visit);
};

template <class T>
template <class Self, class Visit>
void Enclosure<T>::describe(Self& self, Visit&& visit) {
  visit(self.own_heat, Declared{.name = "own_heat",
                                .unit = "W",
                                .low = 10,
                                .typical = 30,
                                .high = 100,
                                .min = 0,
                                .max = 5000,
                                .transform = Transform::log,
                                .kind = Kind::duty,
                                .scope = Scope::product,
                                .source = "judgement",
                                .meaning = "Heat that other hardware gives to its air."});
  visit(self.wall_conductance,
        Declared{.name = "wall_conductance",
                 .unit = "W/K",
                 .low = 1.5,
                 .typical = 3,
                 .high = 6,
                 .min = 0.001,
                 .max = 10000,
                 .transform = Transform::log,
                 .kind = Kind::assembly,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "From its air through the walls to the air around."});
}

}  // namespace libloop
