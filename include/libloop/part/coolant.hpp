// What fills the loop. Properties: fluid/liquid.hpp.
#pragma once

#include "libloop/quantity/declared.hpp"

namespace libloop {

template <class T>
struct Coolant {
  Choice kind;
  T fraction{};
  T reserve{};
  Override<T> volume;

  template <class Self, class Visit>
  static void describe(Self& self, Visit&& visit);
};

template <class T>
template <class Self, class Visit>
void Coolant<T>::describe(Self& self, Visit&& visit) {
  visit(self.kind, DeclaredChoice{.name = "kind",
                                  .words = {"propylene_glycol", "ethylene_glycol", "water"},
                                  .meaning = "Mixture with water, or water alone."});
  visit(self.fraction, Declared{.name = "fraction",
                                .unit = "1",
                                .low = 0.1,
                                .typical = 0.3,
                                .high = 0.4,
                                .min = 0.0001,
                                .max = 0.6,
                                .transform = Transform::logit,
                                .kind = Kind::material,
                                .scope = Scope::product,
                                .source = "judgement",
                                .meaning = "Mass fraction of glycol; idle for water."});
  visit(self.reserve,
        Declared{.name = "reserve",
                 .unit = "mL",
                 .low = 10,
                 .typical = 30,
                 .high = 60,
                 .min = 0.1,
                 .max = 3000,
                 .transform = Transform::log,
                 .kind = Kind::geometry,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Coolant beyond what tubes, tanks, hoses, plate and pump hold."});
  visit(self.volume, DeclaredOverride{.name = "volume",
                                      .unit = "mL",
                                      .min = 20,
                                      .max = 10000,
                                      .transform = Transform::log,
                                      .kind = Kind::geometry,
                                      .scope = Scope::product,
                                      .rule = "sum of the parts and the reserve",
                                      .meaning = "All coolant in the loop."});
}

}  // namespace libloop
