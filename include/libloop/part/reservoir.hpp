// A reservoir in the loop: a stirred volume of coolant with two ports.
//
// Law of its ports: law/friction.hpp (two-K).
#pragma once

#include "libloop/quantity/declared.hpp"

namespace libloop {

template <class T>
struct Reservoir {
  T volume{};
  T bore{};
  T loss{};
  T heat_loss{};
  T wall_capacity{};

  template <class Self, class Visit>
  static void describe(Self& self, Visit&& visit);
};

template <class T>
template <class Self, class Visit>
void Reservoir<T>::describe(Self& self, Visit&& visit) {
  visit(self.volume, Declared{.name = "volume",
                              .unit = "L",
                              .low = 0.1,
                              .typical = 0.2,
                              .high = 0.5,
                              .min = 0.005,
                              .max = 50,
                              .transform = Transform::log,
                              .kind = Kind::geometry,
                              .scope = Scope::product,
                              .source = "judgement",
                              .meaning = "Coolant in the reservoir."});
  visit(self.bore, Declared{.name = "bore",
                            .unit = "mm",
                            .low = 6,
                            .typical = 8,
                            .high = 10,
                            .min = 2,
                            .max = 50,
                            .transform = Transform::log,
                            .kind = Kind::geometry,
                            .scope = Scope::product,
                            .source = "judgement",
                            .meaning = "Inner diameter of its ports."});
  visit(self.loss,
        Declared{.name = "loss",
                 .unit = "1",
                 .low = 1,
                 .typical = 1.5,
                 .high = 3,
                 .min = 0.01,
                 .max = 100,
                 .transform = Transform::log,
                 .kind = Kind::assembly,
                 .scope = Scope::product,
                 .source = "judgement; sharp entry 0.5 and exit 1",
                 .meaning = "Both ports together, in velocity heads of the bore at Re 1500."});
  visit(self.heat_loss, Declared{.name = "heat_loss",
                                 .unit = "W/K",
                                 .low = 0.1,
                                 .typical = 0.2,
                                 .high = 0.5,
                                 .min = 0.001,
                                 .max = 50,
                                 .transform = Transform::log,
                                 .kind = Kind::assembly,
                                 .scope = Scope::product,
                                 .source = "judgement",
                                 .meaning = "Heat to still air, per kelvin."});
  visit(self.wall_capacity,
        Declared{.name = "wall_capacity",
                 .unit = "J/K",
                 .low = 50,
                 .typical = 150,
                 .high = 500,
                 .min = 0.1,
                 .max = 50000,
                 .transform = Transform::log,
                 .kind = Kind::material,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Heat stored by the wall that follows the coolant."});
}

}  // namespace libloop
