// A fitting of its own in a branch of coolant: one leg of a tee, an elbow, a quick coupling,
// a valve. What belongs to a hose is in the hose's minor_loss.
//
// Law: law/friction.hpp (two-K).
#pragma once

#include "libloop/quantity/declared.hpp"

namespace libloop {

template <class T>
struct Fitting {
  T bore{};
  T loss{};
  T opening{};
  T volume{};

  template <class Self, class Visit>
  static void describe(Self& self, Visit&& visit);
};

template <class T>
template <class Self, class Visit>
void Fitting<T>::describe(Self& self, Visit&& visit) {
  visit(self.bore, Declared{.name = "bore",
                            .unit = "mm",
                            .low = 5.5,
                            .typical = 6.5,
                            .high = 7.5,
                            .min = 1,
                            .max = 50,
                            .transform = Transform::log,
                            .kind = Kind::geometry,
                            .scope = Scope::product,
                            .source = "judgement",
                            .meaning = "Inner diameter that the loss is stated on."});
  visit(self.loss, Declared{.name = "loss",
                            .unit = "1",
                            .low = 0.8,
                            .typical = 2.5,
                            .high = 8,
                            .min = 0.01,
                            .max = 1000,
                            .transform = Transform::log,
                            .kind = Kind::assembly,
                            .scope = Scope::product,
                            .source = "judgement; an elbow of this bore 2.5, a quick coupling more",
                            .meaning = "Wide open, in velocity heads of the bore at Re 1500."});
  visit(self.opening,
        Declared{
            .name = "opening",
            .unit = "1",
            .low = 1,
            .typical = 1,
            .high = 1,
            .min = 0.001,
            .max = 1,
            .transform = Transform::none,
            .kind = Kind::assembly,
            .scope = Scope::product,
            .source = "exact",
            .meaning = "Share of full opening of a valve; the loss goes as one over its square."});
  visit(self.volume, Declared{.name = "volume",
                              .unit = "mL",
                              .low = 0.5,
                              .typical = 2,
                              .high = 6,
                              .min = 0.01,
                              .max = 1000,
                              .transform = Transform::log,
                              .kind = Kind::geometry,
                              .scope = Scope::product,
                              .source = "judgement",
                              .meaning = "Coolant in the fitting."});
}

}  // namespace libloop
