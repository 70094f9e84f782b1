// The pump: pressure-flow curve at rated speed, affinity laws, heat, sound.
//
// Law: law/turbomachine.hpp.
#pragma once

#include "libloop/quantity/declared.hpp"

namespace libloop {

template <class T>
struct Pump {
  T rated_speed{};
  T shutoff_head{};
  T free_flow{};
  Curve curve;
  T curve_shape{};
  T speed_share{};
  T speed_factor{};
  T stopped_loss{};
  T electric_heat{};
  T volume{};
  T body_capacity{};
  T noise{};
  T noise_exponent{};

  template <class Self, class Visit>
  static void describe(Self& self, Visit&& visit);
};

template <class T>
template <class Self, class Visit>
void Pump<T>::describe(Self& self, Visit&& visit) {
  visit(self.rated_speed, Declared{.name = "rated_speed",
                                   .unit = "rpm",
                                   .low = 2200,
                                   .typical = 2800,
                                   .high = 3400,
                                   .min = 200,
                                   .max = 12000,
                                   .transform = Transform::log,
                                   .kind = Kind::machine,
                                   .scope = Scope::product,
                                   .source = "judgement",
                                   .meaning = "Speed at which the curve is stated."});
  visit(self.shutoff_head,
        Declared{.name = "shutoff_head",
                 .unit = "m",
                 .low = 0.6,
                 .typical = 1.1,
                 .high = 2.2,
                 .min = 0.05,
                 .max = 20,
                 .transform = Transform::log,
                 .kind = Kind::machine,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Head of coolant at rated speed against a closed outlet."});
  visit(self.free_flow, Declared{.name = "free_flow",
                                 .unit = "L/min",
                                 .low = 1.5,
                                 .typical = 3,
                                 .high = 6,
                                 .min = 0.1,
                                 .max = 60,
                                 .transform = Transform::log,
                                 .kind = Kind::machine,
                                 .scope = Scope::product,
                                 .source = "judgement",
                                 .meaning = "Flow at rated speed against no head."});
  visit(self.curve, DeclaredCurve{.name = "curve",
                                  .x_unit = "L/min",
                                  .y_unit = "m",
                                  .x_name = "flow",
                                  .y_name = "head",
                                  .meaning = "Flow and head at rated speed; replaces shutoff_head, "
                                             "free_flow and the shape."});
  visit(self.curve_shape,
        Declared{.name = "curve_shape",
                 .unit = "1",
                 .low = 0.0,
                 .typical = 0.3,
                 .high = 0.7,
                 .min = -2,
                 .max = 2,
                 .transform = Transform::none,
                 .kind = Kind::machine,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "b in h/h0 = 1 - b x - (1 - b) x^2 with x the flow over free flow."});
  visit(self.speed_share,
        Declared{.name = "speed_share",
                 .unit = "1",
                 .low = 1,
                 .typical = 1,
                 .high = 1,
                 .min = 0,
                 .max = 2,
                 .transform = Transform::none,
                 .kind = Kind::machine,
                 .scope = Scope::product,
                 .source = "exact",
                 .meaning = "Speed over that of the duty; 0 for one that stands still."});
  visit(self.speed_factor, Declared{.name = "speed_factor",
                                    .unit = "1",
                                    .low = 0.9,
                                    .typical = 1.0,
                                    .high = 1.1,
                                    .min = 0.3,
                                    .max = 2,
                                    .transform = Transform::log,
                                    .kind = Kind::machine,
                                    .scope = Scope::each,
                                    .source = "judgement",
                                    .meaning = "True over stated speed."});
  visit(self.stopped_loss,
        Declared{.name = "stopped_loss",
                 .unit = "1",
                 .low = 0.5,
                 .typical = 1.0,
                 .high = 2.0,
                 .min = 0.01,
                 .max = 20,
                 .transform = Transform::log,
                 .kind = Kind::machine,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Pressure a stopped pump takes at its free flow, over its shut-off "
                            "pressure."});
  visit(self.electric_heat,
        Declared{.name = "electric_heat",
                 .unit = "W",
                 .low = 0.5,
                 .typical = 2,
                 .high = 4,
                 .min = 0.01,
                 .max = 60,
                 .transform = Transform::log,
                 .kind = Kind::machine,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Electric power at rated speed; all of it warms the coolant, as the "
                            "cube of speed."});
  visit(self.volume, Declared{.name = "volume",
                              .unit = "mL",
                              .low = 3,
                              .typical = 6,
                              .high = 15,
                              .min = 0.5,
                              .max = 200,
                              .transform = Transform::log,
                              .kind = Kind::geometry,
                              .scope = Scope::product,
                              .source = "judgement",
                              .meaning = "Coolant in the pump."});
  visit(self.body_capacity,
        Declared{.name = "body_capacity",
                 .unit = "J/K",
                 .low = 15,
                 .typical = 36,
                 .high = 80,
                 .min = 0.5,
                 .max = 2000,
                 .transform = Transform::log,
                 .kind = Kind::material,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Heat stored by the part of the body that follows the coolant."});
  visit(self.noise,
        Declared{.name = "noise",
                 .unit = "dBA",
                 .low = 16,
                 .typical = 21,
                 .high = 27,
                 .min = 0,
                 .max = 80,
                 .transform = Transform::none,
                 .kind = Kind::machine,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Sound pressure level at rated speed, at the rating distance of 1 m."});
  visit(self.noise_exponent, Declared{.name = "noise_exponent",
                                      .unit = "dB",
                                      .low = 40,
                                      .typical = 50,
                                      .high = 60,
                                      .min = 10,
                                      .max = 90,
                                      .transform = Transform::none,
                                      .kind = Kind::machine,
                                      .scope = Scope::product,
                                      .source = "judgement",
                                      .meaning = "Sound level per factor of ten in speed."});
}

}  // namespace libloop
