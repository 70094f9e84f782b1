// What the chip's reading and the ambient probe report.
#pragma once

#include "libloop/quantity/declared.hpp"

namespace libloop {

template <class T>
struct Sensor {
  Choice reads;
  T offset{};
  T lag{};
  Choice probe;
  T probe_offset{};

  template <class Self, class Visit>
  static void describe(Self& self, Visit&& visit);
};

template <class T>
template <class Self, class Visit>
void Sensor<T>::describe(Self& self, Visit&& visit) {
  visit(self.reads, DeclaredChoice{.name = "reads",
                                   .words = {"hottest", "mean"},
                                   .meaning = "The hottest point of any die, or the mean of all."});
  visit(self.offset, Declared{.name = "offset",
                              .unit = "K",
                              .low = -1,
                              .typical = 0,
                              .high = 1,
                              .min = -30,
                              .max = 30,
                              .transform = Transform::none,
                              .kind = Kind::reading,
                              .scope = Scope::bench,
                              .source = "judgement",
                              .meaning = "Reading less true temperature of the chip."});
  visit(self.lag, Declared{.name = "lag",
                           .unit = "s",
                           .low = 0.1,
                           .typical = 0.3,
                           .high = 1,
                           .min = 0.001,
                           .max = 100,
                           .transform = Transform::log,
                           .kind = Kind::reading,
                           .scope = Scope::bench,
                           .source = "judgement",
                           .meaning = "Time constant of the chip's reading."});
  visit(self.probe,
        DeclaredChoice{.name = "probe",
                       .words = {"intake", "fixed"},
                       .meaning = "The ambient probe sits in the intake, or where warming "
                                  "surroundings do not reach it."});
  visit(self.probe_offset, Declared{.name = "probe_offset",
                                    .unit = "K",
                                    .low = -0.5,
                                    .typical = 0,
                                    .high = 0.5,
                                    .min = -20,
                                    .max = 20,
                                    .transform = Transform::none,
                                    .kind = Kind::reading,
                                    .scope = Scope::bench,
                                    .source = "judgement",
                                    .meaning = "Reading of the ambient probe less true air."});
}

}  // namespace libloop
