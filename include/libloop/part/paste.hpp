// What lies between spreader and cold plate. Law: law/layer.hpp.
#pragma once

#include "libloop/quantity/declared.hpp"

namespace libloop {

template <class T>
struct Paste {
  T bond_line{};
  T conductivity{};
  T contact{};
  T mount_factor{};

  template <class Self, class Visit>
  static void describe(Self& self, Visit&& visit);
};

template <class T>
template <class Self, class Visit>
void Paste<T>::describe(Self& self, Visit&& visit) {
  visit(self.bond_line, Declared{.name = "bond_line",
                                 .unit = "um",
                                 .low = 15,
                                 .typical = 30,
                                 .high = 60,
                                 .min = 1,
                                 .max = 2000,
                                 .transform = Transform::log,
                                 .kind = Kind::assembly,
                                 .scope = Scope::bench,
                                 .source = "judgement",
                                 .meaning = "Thickness of the paste after settling."});
  visit(self.conductivity, Declared{.name = "conductivity",
                                    .unit = "W/(m K)",
                                    .low = 2.5,
                                    .typical = 5,
                                    .high = 8,
                                    .min = 0.2,
                                    .max = 450,
                                    .transform = Transform::log,
                                    .kind = Kind::material,
                                    .scope = Scope::bench,
                                    .source = "judgement; in place 30 to 70 % of the label",
                                    .meaning = "Conductivity in place, contacts included."});
  visit(self.contact, Declared{.name = "contact",
                               .unit = "mm2 K/W",
                               .low = 0,
                               .typical = 0,
                               .high = 0,
                               .min = 0,
                               .max = 200,
                               .transform = Transform::none,
                               .kind = Kind::assembly,
                               .scope = Scope::bench,
                               .source = "exact; the conductivity includes it",
                               .meaning = "Further contact resistance of the two faces."});
  visit(self.mount_factor, Declared{.name = "mount_factor",
                                    .unit = "1",
                                    .low = 0.9,
                                    .typical = 1.0,
                                    .high = 1.11,
                                    .min = 0.2,
                                    .max = 10,
                                    .transform = Transform::log,
                                    .kind = Kind::assembly,
                                    .scope = Scope::each,
                                    .source = "judgement",
                                    .meaning = "Bond line of this mount over the usual one."});
}

}  // namespace libloop
