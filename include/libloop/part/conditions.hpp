// What the tester sets: the duty of one point. Never uncertain, always differentiable.
#pragma once

#include "libloop/quantity/declared.hpp"

namespace libloop {

template <class T>
struct Conditions {
  T load{};
  T ambient{};
  T altitude{};
  T fan{};
  T pump{};

  template <class Self, class Visit>
  static void describe(Self& self, Visit&& visit);
};

template <class T>
template <class Self, class Visit>
void Conditions<T>::describe(Self& self, Visit&& visit) {
  visit(self.load, Declared{.name = "load",
                            .unit = "W",
                            .low = 100,
                            .typical = 100,
                            .high = 100,
                            .min = 0,
                            .max = 5000,
                            .transform = Transform::none,
                            .kind = Kind::duty,
                            .scope = Scope::bench,
                            .source = "exact",
                            .meaning = "Heat load that the bench reads."});
  visit(self.ambient,
        Declared{.name = "ambient",
                 .unit = "C",
                 .low = 25,
                 .typical = 25,
                 .high = 25,
                 .min = -30,
                 .max = 60,
                 .transform = Transform::none,
                 .kind = Kind::duty,
                 .scope = Scope::bench,
                 .source = "exact",
                 .meaning = "Mean air at the intake; outside of warming surroundings."});
  visit(self.altitude, Declared{.name = "altitude",
                                .unit = "m",
                                .low = 0,
                                .typical = 0,
                                .high = 0,
                                .min = -500,
                                .max = 9000,
                                .transform = Transform::none,
                                .kind = Kind::duty,
                                .scope = Scope::bench,
                                .source = "exact",
                                .meaning = "Height above the sea; thins the air (ISO 2533)."});
  visit(self.fan, Declared{.name = "fan",
                           .unit = "1",
                           .low = 1,
                           .typical = 1,
                           .high = 1,
                           .min = 0,
                           .max = 3,
                           .transform = Transform::none,
                           .kind = Kind::duty,
                           .scope = Scope::bench,
                           .source = "exact",
                           .meaning = "Fan speed over rated speed."});
  visit(self.pump, Declared{.name = "pump",
                            .unit = "1",
                            .low = 1,
                            .typical = 1,
                            .high = 1,
                            .min = 0,
                            .max = 3,
                            .transform = Transform::none,
                            .kind = Kind::duty,
                            .scope = Scope::bench,
                            .source = "exact",
                            .meaning = "Pump speed over rated speed."});
}

}  // namespace libloop
