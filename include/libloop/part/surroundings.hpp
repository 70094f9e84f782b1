// The air around the cooler: room, chamber or case.
#pragma once

#include "libloop/quantity/declared.hpp"

namespace libloop {

template <class T>
struct Surroundings {
  Choice kind;
  T conductance{};
  T capacity{};

  template <class Self, class Visit>
  static void describe(Self& self, Visit&& visit);
};

template <class T>
template <class Self, class Visit>
void Surroundings<T>::describe(Self& self, Visit&& visit) {
  visit(self.kind,
        DeclaredChoice{.name = "kind",
                       .words = {"open", "warming"},
                       .meaning = "Stays at ambient, or warms with the heat given off."});
  visit(self.conductance,
        Declared{.name = "conductance",
                 .unit = "W/K",
                 .low = 20,
                 .typical = 60,
                 .high = 200,
                 .min = 1,
                 .max = 100000,
                 .transform = Transform::log,
                 .kind = Kind::assembly,
                 .scope = Scope::bench,
                 .source = "judgement",
                 .meaning = "From the surroundings to what lies outside; idle when open."});
  visit(self.capacity, Declared{.name = "capacity",
                                .unit = "kJ/K",
                                .low = 10,
                                .typical = 36,
                                .high = 100,
                                .min = 0.1,
                                .max = 100000,
                                .transform = Transform::log,
                                .kind = Kind::material,
                                .scope = Scope::bench,
                                .source = "judgement",
                                .meaning = "Heat stored by the surroundings; idle when open."});
}

}  // namespace libloop
