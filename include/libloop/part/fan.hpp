// A fan: pressure-flow curve at rated speed, affinity laws, sound.
//
// Its curve is outlet static minus inlet total pressure in free air of 1.2 kg/m3. Laws:
// law/turbomachine.hpp, law/sound.hpp.
#pragma once

#include "libloop/quantity/declared.hpp"

namespace libloop {

template <class T>
struct Fan {
  Count count;
  Choice side;
  Nominal size;
  Nominal thickness;
  T rated_speed{};
  T free_flow{};
  T static_pressure{};
  T noise{};
  Curve curve;
  T curve_shape{};
  T stall_dip{};
  T pressure_exponent{};
  T flow_factor{};
  T pressure_factor{};
  T speed_share{};
  T speed_factor{};
  T dynamic_recovery{};
  T hub_share{};
  T stopped_loss{};
  T noise_exponent{};
  T seating_noise{};

  template <class Self, class Visit>
  static void describe(Self& self, Visit&& visit);
};

template <class T>
template <class Self, class Visit>
void Fan<T>::describe(Self& self, Visit&& visit) {
  visit(self.count, DeclaredCount{.name = "count",
                                  .typical = 1,
                                  .min = 1,
                                  .max = 12,
                                  .meaning = "Copies of this fan, in a row along the core."});
  visit(self.side, DeclaredChoice{.name = "side",
                                  .words = {"push", "pull"},
                                  .meaning = "Blows into the core, or draws out of it."});
  visit(self.size,
        DeclaredNominal{.name = "size",
                        .unit = "mm",
                        .typical = 0,
                        .min = 40,
                        .max = 240,
                        .meaning = "Size of the frame; the fan size of the radiator class when "
                                   "left out."});
  visit(self.thickness,
        DeclaredNominal{.name = "thickness",
                        .unit = "mm",
                        .typical = 25,
                        .min = 5,
                        .max = 60,
                        .meaning = "Thickness of the frame; counts for space only."});
  visit(self.rated_speed, Declared{.name = "rated_speed",
                                   .unit = "rpm",
                                   .low = 1500,
                                   .typical = 1900,
                                   .high = 2400,
                                   .min = 100,
                                   .max = 12000,
                                   .transform = Transform::log,
                                   .kind = Kind::machine,
                                   .scope = Scope::product,
                                   .source = "judgement",
                                   .meaning = "Speed at which curve and noise are stated."});
  visit(self.free_flow, Declared{.name = "free_flow",
                                 .unit = "m3/h",
                                 .low = 75,
                                 .typical = 105,
                                 .high = 145,
                                 .min = 1,
                                 .max = 1500,
                                 .transform = Transform::log,
                                 .kind = Kind::machine,
                                 .scope = Scope::product,
                                 .source = "judgement, for a 120 or 140 mm fan",
                                 .meaning = "Flow at rated speed against no pressure."});
  visit(self.static_pressure,
        Declared{.name = "static_pressure",
                 .unit = "Pa",
                 .low = 14,
                 .typical = 22,
                 .high = 36,
                 .min = 0.5,
                 .max = 2000,
                 .transform = Transform::log,
                 .kind = Kind::machine,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Static pressure at rated speed against a closed outlet."});
  visit(self.noise,
        Declared{.name = "noise",
                 .unit = "dBA",
                 .low = 26,
                 .typical = 32,
                 .high = 38,
                 .min = 0,
                 .max = 90,
                 .transform = Transform::none,
                 .kind = Kind::machine,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Sound pressure level at rated speed, free air, at the rating "
                            "distance of 1 m."});
  visit(self.curve,
        DeclaredCurve{.name = "curve",
                      .x_unit = "m3/h",
                      .y_unit = "Pa",
                      .x_name = "flow",
                      .y_name = "static pressure",
                      .meaning = "Flow and static pressure at rated speed; replaces free_flow, "
                                 "static_pressure and the shape."});
  visit(self.curve_shape,
        Declared{.name = "curve_shape",
                 .unit = "1",
                 .low = 0.5,
                 .typical = 0.7,
                 .high = 1.0,
                 .min = -0.5,
                 .max = 1.3,
                 .transform = Transform::logit,
                 .kind = Kind::machine,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "a in p/p0 = 1 - a x - (1 - a) x^4 with x the flow over free flow."});
  visit(self.stall_dip,
        Declared{.name = "stall_dip",
                 .unit = "1",
                 .low = 0.01,
                 .typical = 0.04,
                 .high = 0.08,
                 .min = 0.0001,
                 .max = 0.25,
                 .transform = Transform::log,
                 .kind = Kind::machine,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Depth of the stall dip at 42 % of free flow, over the shut-off "
                            "pressure."});
  visit(self.pressure_exponent, Declared{.name = "pressure_exponent",
                                         .unit = "1",
                                         .low = 2.0,
                                         .typical = 2.1,
                                         .high = 2.2,
                                         .min = 1.5,
                                         .max = 3,
                                         .transform = Transform::none,
                                         .kind = Kind::machine,
                                         .scope = Scope::product,
                                         .source = "judgement; 2 is the affinity law",
                                         .meaning = "Exponent of pressure in speed."});
  visit(self.flow_factor, Declared{.name = "flow_factor",
                                   .unit = "1",
                                   .low = 0.9,
                                   .typical = 1.0,
                                   .high = 1.05,
                                   .min = 0.3,
                                   .max = 2,
                                   .transform = Transform::log,
                                   .kind = Kind::correction,
                                   .scope = Scope::product,
                                   .source = "judgement",
                                   .meaning = "True over stated free flow."});
  visit(self.pressure_factor, Declared{.name = "pressure_factor",
                                       .unit = "1",
                                       .low = 0.85,
                                       .typical = 1.0,
                                       .high = 1.08,
                                       .min = 0.3,
                                       .max = 2,
                                       .transform = Transform::log,
                                       .kind = Kind::correction,
                                       .scope = Scope::product,
                                       .source = "judgement",
                                       .meaning = "True over stated static pressure."});
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
                                    .low = 0.95,
                                    .typical = 1.0,
                                    .high = 1.05,
                                    .min = 0.3,
                                    .max = 2,
                                    .transform = Transform::log,
                                    .kind = Kind::machine,
                                    .scope = Scope::each,
                                    .source = "judgement",
                                    .meaning = "True over stated speed of one copy."});
  visit(self.dynamic_recovery,
        Declared{.name = "dynamic_recovery",
                 .unit = "1",
                 .low = 0.05,
                 .typical = 0.25,
                 .high = 0.5,
                 .min = 0.001,
                 .max = 0.99,
                 .transform = Transform::logit,
                 .kind = Kind::assembly,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Share of the outlet dynamic pressure that a pushing fan recovers "
                            "entering the core."});
  visit(self.hub_share,
        Declared{.name = "hub_share",
                 .unit = "1",
                 .low = 0.1,
                 .typical = 0.16,
                 .high = 0.24,
                 .min = 0.01,
                 .max = 0.6,
                 .transform = Transform::logit,
                 .kind = Kind::geometry,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Hub area over the area of the frame; the rest, less corners, is the "
                            "annulus air passes."});
  visit(self.stopped_loss,
        Declared{.name = "stopped_loss",
                 .unit = "1",
                 .low = 0.3,
                 .typical = 0.7,
                 .high = 1.5,
                 .min = 0.01,
                 .max = 20,
                 .transform = Transform::log,
                 .kind = Kind::machine,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Pressure a stopped fan takes at its free flow, over its shut-off "
                            "pressure."});
  visit(self.noise_exponent, Declared{.name = "noise_exponent",
                                      .unit = "dB",
                                      .low = 50,
                                      .typical = 55,
                                      .high = 60,
                                      .min = 20,
                                      .max = 90,
                                      .transform = Transform::none,
                                      .kind = Kind::machine,
                                      .scope = Scope::product,
                                      .source = "AMCA 301 (50), dipole theory (60), from memory",
                                      .meaning = "Sound level per factor of ten in speed."});
  visit(self.seating_noise, Declared{.name = "seating_noise",
                                     .unit = "dB",
                                     .low = -1,
                                     .typical = 2,
                                     .high = 6,
                                     .min = -10,
                                     .max = 20,
                                     .transform = Transform::none,
                                     .kind = Kind::assembly,
                                     .scope = Scope::product,
                                     .source = "judgement",
                                     .meaning = "Louder on a dense core than in free air."});
}

}  // namespace libloop
