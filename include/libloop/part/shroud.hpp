// A box between fans and core that spreads their air over the whole face.
//
// Law of its leaks: law/screen.hpp.
#pragma once

#include "libloop/quantity/declared.hpp"

namespace libloop {

template <class T>
struct Shroud {
  T gap{};
  T hub_relief{};

  template <class Self, class Visit>
  static void describe(Self& self, Visit&& visit);
};

template <class T>
template <class Self, class Visit>
void Shroud<T>::describe(Self& self, Visit&& visit) {
  visit(self.gap, Declared{.name = "gap",
                           .unit = "cm2",
                           .low = 0.5,
                           .typical = 2,
                           .high = 8,
                           .min = 0.001,
                           .max = 1000,
                           .transform = Transform::log,
                           .kind = Kind::assembly,
                           .scope = Scope::product,
                           .source = "judgement",
                           .meaning = "Free area of the leaks around it."});
  visit(
      self.hub_relief,
      Declared{.name = "hub_relief",
               .unit = "1",
               .low = 0.2,
               .typical = 0.5,
               .high = 0.9,
               .min = 0,
               .max = 1,
               .transform = Transform::logit,
               .kind = Kind::assembly,
               .scope = Scope::product,
               .source = "judgement",
               .meaning = "Share of the fans' shadow on the core (1 - coverage) that it undoes."});
}

}  // namespace libloop
