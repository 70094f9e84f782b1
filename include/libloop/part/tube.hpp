// Hoses, alike, and the fittings at their ends.
//
// The one entry of a sealed loop stands for its two hoses between plate and radiator; an
// entry of a network stands for `count` hoses, each of which is joined on its own.
//
// Laws: law/friction.hpp (Churchill over all regimes, two-K minor losses).
#pragma once

#include "libloop/quantity/declared.hpp"

namespace libloop {

template <class T>
struct Tube {
  Count count;
  T length{};
  T bore{};
  T roughness{};
  T minor_loss{};
  T heat_loss{};
  T wall_capacity{};

  template <class Self, class Visit>
  static void describe(Self& self, Visit&& visit);
};

template <class T>
template <class Self, class Visit>
void Tube<T>::describe(Self& self, Visit&& visit) {
  visit(self.count, DeclaredCount{.name = "count",
                                  .typical = 1,
                                  .min = 1,
                                  .max = 64,
                                  .meaning = "Hoses alike of this entry; in a sealed loop the one "
                                             "entry stands for both."});
  visit(self.length, Declared{.name = "length",
                              .unit = "mm",
                              .low = 300,
                              .typical = 370,
                              .high = 450,
                              .min = 20,
                              .max = 5000,
                              .transform = Transform::log,
                              .kind = Kind::geometry,
                              .scope = Scope::product,
                              .source = "judgement",
                              .meaning = "Length of one hose."});
  visit(self.bore, Declared{.name = "bore",
                            .unit = "mm",
                            .low = 5.5,
                            .typical = 6.5,
                            .high = 7.5,
                            .min = 2,
                            .max = 25,
                            .transform = Transform::log,
                            .kind = Kind::geometry,
                            .scope = Scope::product,
                            .source = "judgement",
                            .meaning = "Inner diameter."});
  visit(self.roughness, Declared{.name = "roughness",
                                 .unit = "um",
                                 .low = 0.5,
                                 .typical = 1.5,
                                 .high = 5,
                                 .min = 0.01,
                                 .max = 200,
                                 .transform = Transform::log,
                                 .kind = Kind::material,
                                 .scope = Scope::product,
                                 .source = "judgement; drawn tube 1.5 um",
                                 .meaning = "Roughness of the wall."});
  visit(self.minor_loss,
        Declared{.name = "minor_loss",
                 .unit = "1",
                 .low = 5,
                 .typical = 12,
                 .high = 25,
                 .min = 0.1,
                 .max = 300,
                 .transform = Transform::log,
                 .kind = Kind::assembly,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "All fittings and bends of two hoses, in velocity heads of the hose at "
                            "Re 1500."});
  visit(self.heat_loss,
        Declared{.name = "heat_loss",
                 .unit = "W/(m K)",
                 .low = 0.1,
                 .typical = 0.25,
                 .high = 0.5,
                 .min = 0.001,
                 .max = 10,
                 .transform = Transform::log,
                 .kind = Kind::assembly,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Heat from one metre of hose to still air, per kelvin."});
  visit(self.wall_capacity,
        Declared{.name = "wall_capacity",
                 .unit = "J/(m K)",
                 .low = 20,
                 .typical = 50,
                 .high = 110,
                 .min = 0.1,
                 .max = 2000,
                 .transform = Transform::log,
                 .kind = Kind::material,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Heat stored per metre by the inner part of the wall, which follows "
                            "the coolant."});
}

}  // namespace libloop
