// Where air passes a wall: mesh, filter, grille, gap or the mouth of a duct.
//
// Law: law/screen.hpp.
#pragma once

#include "libloop/quantity/declared.hpp"

namespace libloop {

template <class T>
struct Opening {
  T area{};
  T open_share{};
  T loss{};

  template <class Self, class Visit>
  static void describe(Self& self, Visit&& visit);
};

template <class T>
template <class Self, class Visit>
void Opening<T>::describe(Self& self, Visit&& visit) {
  visit(self.area, Declared{.name = "area",
                            .unit = "cm2",
                            .low = 50,
                            .typical = 150,
                            .high = 400,
                            .min = 0.1,
                            .max = 20000,
                            .transform = Transform::log,
                            .kind = Kind::geometry,
                            .scope = Scope::product,
                            .source = "judgement",
                            .meaning = "Area of the face, holes and bars together."});
  visit(self.open_share,
        Declared{.name = "open_share",
                 .unit = "1",
                 .low = 0.3,
                 .typical = 0.5,
                 .high = 0.8,
                 .min = 0.01,
                 .max = 1,
                 .transform = Transform::logit,
                 .kind = Kind::geometry,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Open area of a mesh over its face; 1 is a free hole."});
  visit(self.loss, Declared{.name = "loss",
                            .unit = "1",
                            .low = 0.8,
                            .typical = 1.5,
                            .high = 2.8,
                            .min = 0.01,
                            .max = 200,
                            .transform = Transform::log,
                            .kind = Kind::assembly,
                            .scope = Scope::product,
                            .source = "judgement; sharp entry 0.5 and exit 1",
                            .meaning = "Losses besides the mesh, in velocity heads at the face."});
}

}  // namespace libloop
