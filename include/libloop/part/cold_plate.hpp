// The cold plate: parallel channels between thin fins on a copper base.
//
// Laws: law/duct.hpp and law/nusselt.hpp by aspect ratio, law/fin.hpp.
#pragma once

#include "libloop/quantity/declared.hpp"

namespace libloop {

template <class T>
struct ColdPlate {
  T base_length{};
  T base_width{};
  T base_thickness{};
  T conductivity{};
  T finned_side{};
  T channel_gap{};
  T fin_thickness{};
  T channel_height{};
  Choice flow;
  T bypass{};
  T slot_loss{};
  T volume{};
  T heat_factor{};

  template <class Self, class Visit>
  static void describe(Self& self, Visit&& visit);
};

template <class T>
template <class Self, class Visit>
void ColdPlate<T>::describe(Self& self, Visit&& visit) {
  visit(self.base_length, Declared{.name = "base_length",
                                   .unit = "mm",
                                   .low = 48,
                                   .typical = 54,
                                   .high = 62,
                                   .min = 15,
                                   .max = 120,
                                   .transform = Transform::log,
                                   .kind = Kind::geometry,
                                   .scope = Scope::product,
                                   .source = "judgement",
                                   .meaning = "Outer length of the base; counts for its mass."});
  visit(self.base_width, Declared{.name = "base_width",
                                  .unit = "mm",
                                  .low = 48,
                                  .typical = 54,
                                  .high = 62,
                                  .min = 15,
                                  .max = 120,
                                  .transform = Transform::log,
                                  .kind = Kind::geometry,
                                  .scope = Scope::product,
                                  .source = "judgement",
                                  .meaning = "Outer width of the base; counts for its mass."});
  visit(self.base_thickness, Declared{.name = "base_thickness",
                                      .unit = "mm",
                                      .low = 1.0,
                                      .typical = 2.0,
                                      .high = 3.0,
                                      .min = 0.3,
                                      .max = 12,
                                      .transform = Transform::logit,
                                      .kind = Kind::geometry,
                                      .scope = Scope::product,
                                      .source = "judgement",
                                      .meaning = "Copper under the channels."});
  visit(self.conductivity,
        Declared{.name = "conductivity",
                 .unit = "W/(m K)",
                 .low = 350,
                 .typical = 390,
                 .high = 398,
                 .min = 10,
                 .max = 450,
                 .transform = Transform::none,
                 .kind = Kind::material,
                 .scope = Scope::product,
                 .source = "Incropera & DeWitt, Table A.1 (401 pure), from memory; alloys "
                           "lower",
                 .meaning = "Conductivity of base and fins, copper unless said."});
  visit(self.finned_side, Declared{.name = "finned_side",
                                   .unit = "mm",
                                   .low = 25,
                                   .typical = 28,
                                   .high = 31,
                                   .min = 8,
                                   .max = 80,
                                   .transform = Transform::log,
                                   .kind = Kind::geometry,
                                   .scope = Scope::product,
                                   .source = "judgement",
                                   .meaning = "Side of the finned square."});
  visit(self.channel_gap, Declared{.name = "channel_gap",
                                   .unit = "mm",
                                   .low = 0.08,
                                   .typical = 0.1,
                                   .high = 0.15,
                                   .min = 0.03,
                                   .max = 3,
                                   .transform = Transform::log,
                                   .kind = Kind::geometry,
                                   .scope = Scope::product,
                                   .source = "judgement",
                                   .meaning = "Width of one channel."});
  visit(self.fin_thickness, Declared{.name = "fin_thickness",
                                     .unit = "mm",
                                     .low = 0.07,
                                     .typical = 0.1,
                                     .high = 0.12,
                                     .min = 0.02,
                                     .max = 3,
                                     .transform = Transform::log,
                                     .kind = Kind::geometry,
                                     .scope = Scope::product,
                                     .source = "judgement",
                                     .meaning = "Thickness of one fin."});
  visit(self.channel_height, Declared{.name = "channel_height",
                                      .unit = "mm",
                                      .low = 2.0,
                                      .typical = 2.5,
                                      .high = 3.0,
                                      .min = 0.3,
                                      .max = 12,
                                      .transform = Transform::log,
                                      .kind = Kind::geometry,
                                      .scope = Scope::product,
                                      .source = "judgement",
                                      .meaning = "Height of the fins."});
  visit(self.flow,
        DeclaredChoice{.name = "flow",
                       .words = {"split", "straight"},
                       .meaning = "Fed in the middle and leaving at both ends, or from end to "
                                  "end."});
  visit(self.bypass, Declared{.name = "bypass",
                              .unit = "1",
                              .low = 0.02,
                              .typical = 0.1,
                              .high = 0.3,
                              .min = 0.001,
                              .max = 0.7,
                              .transform = Transform::logit,
                              .kind = Kind::assembly,
                              .scope = Scope::product,
                              .source = "judgement",
                              .meaning = "Share of the flow that passes over the fin tips."});
  visit(self.slot_loss,
        Declared{.name = "slot_loss",
                 .unit = "1",
                 .low = 1,
                 .typical = 4,
                 .high = 10,
                 .min = 0,
                 .max = 200,
                 .transform = Transform::log,
                 .kind = Kind::assembly,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Inlet slot and outlet, in velocity heads of the channels."});
  visit(self.volume, Declared{.name = "volume",
                              .unit = "mL",
                              .low = 4,
                              .typical = 9,
                              .high = 18,
                              .min = 0.5,
                              .max = 200,
                              .transform = Transform::log,
                              .kind = Kind::geometry,
                              .scope = Scope::product,
                              .source = "judgement",
                              .meaning = "Coolant in the plate, channels and chambers."});
  visit(self.heat_factor,
        Declared{.name = "heat_factor",
                 .unit = "1",
                 .low = 0.854,
                 .typical = 1.0,
                 .high = 1.138,
                 .min = 0.1,
                 .max = 5,
                 .transform = Transform::log,
                 .kind = Kind::correction,
                 .scope = Scope::product,
                 .source = "half the log-variance of 0.8 / 1 / 1.2",
                 .meaning = "Heat transfer in these channels over the correlation's."});
}

}  // namespace libloop
