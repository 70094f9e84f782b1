// The radiator: flat tubes with fins between them, passes, end tanks, frame.
//
// Its laws: louvered or plain fins (law/louver.hpp), flat duct (law/duct.hpp,
// law/nusselt.hpp), one-row cross flow (law/exchanger.hpp).
#pragma once

#include <array>
#include <cmath>

#include "libloop/quantity/declared.hpp"

namespace libloop {

// Size classes of the trade: fans of one size in a row.
struct RadiatorClass {
  const char* word;
  int fans;
  double fan_size;  // m
};
inline constexpr std::array<RadiatorClass, 6> radiator_classes = {{{"120", 1, 0.120},
                                                                   {"140", 1, 0.140},
                                                                   {"240", 2, 0.120},
                                                                   {"280", 2, 0.140},
                                                                   {"360", 3, 0.120},
                                                                   {"420", 3, 0.140}}};

template <class T>
struct Radiator {
  Choice size_class;
  T thickness{};
  Override<T> length, width;
  T frame_allowance{};
  Override<T> core_depth;
  T face_length_share{}, face_width_share{}, side_plate{};
  Override<T> core_length, core_width;
  Choice fin_kind;
  T fin_density{}, fin_height{}, fin_thickness{}, fin_conductivity{};
  T louver_pitch{}, louver_angle{}, louver_length_share{};
  T tube_thickness{}, tube_wall{};
  Count passes;
  Choice pass_arrangement;
  T tank_depth{};
  T coverage{}, air_loss{}, recirculation{}, leak_share{};
  T passive_conductance{};
  T wet_metal_mass{}, frame_mass{}, frame_link{};
  T heat_factor{}, friction_factor{}, tube_heat_factor{};

  static constexpr int louvered = 0, plain = 1;
  static constexpr int beside = 0, behind = 1;

  const RadiatorClass& grid() const {
    return radiator_classes[static_cast<std::size_t>(size_class.value)];
  }
  double class_length() const { return grid().fans * grid().fan_size; }

  // The declared rules for what a sheet leaves out (docs/files.md).
  T depth() const { return core_depth.or_else(thickness - frame_allowance); }
  T face_length() const { return core_length.or_else(class_length() * face_length_share); }
  T face_width() const {
    return core_width.or_else(width.given ? width.value - 2.0 * side_plate
                                          : grid().fan_size * face_width_share);
  }
  // Inside depth of one end tank; two walls of 1 mm come off the outer length.
  T inner_tank_depth() const {
    return length.given ? 0.5 * (length.value - face_length()) - 0.002 : tank_depth;
  }
  T tube_pitch() const { return fin_height + tube_thickness; }
  T tubes() const { return face_width() / tube_pitch(); }  // a real number: rounded only in print

  template <class Self, class Visit>
  static void describe(Self& self, Visit&& visit);
};

template <class T>
template <class Self, class Visit>
void Radiator<T>::describe(Self& self, Visit&& visit) {
  visit(self.size_class, DeclaredChoice{.name = "class",
                                        .words = {"120", "140", "240", "280", "360", "420"},
                                        .required = true,
                                        .meaning = "Size class: fans of 120 or 140 mm in a row."});
  visit(self.thickness, Declared{.name = "thickness",
                                 .unit = "mm",
                                 .low = 26,
                                 .typical = 30,
                                 .high = 46,
                                 .min = 18,
                                 .max = 120,
                                 .transform = Transform::logit,
                                 .kind = Kind::geometry,
                                 .scope = Scope::product,
                                 .source = "judgement",
                                 .meaning = "Outer thickness of the radiator, without fans."});
  visit(self.length, DeclaredOverride{.name = "length",
                                      .unit = "mm",
                                      .min = 120,
                                      .max = 700,
                                      .transform = Transform::log,
                                      .kind = Kind::geometry,
                                      .scope = Scope::product,
                                      .rule = "not used",
                                      .meaning = "Outer length; fixes the depth of the tanks."});
  visit(self.width, DeclaredOverride{.name = "width",
                                     .unit = "mm",
                                     .min = 90,
                                     .max = 250,
                                     .transform = Transform::log,
                                     .kind = Kind::geometry,
                                     .scope = Scope::product,
                                     .rule = "not used",
                                     .meaning = "Outer width; fixes the width of the face."});
  visit(self.frame_allowance, Declared{.name = "frame_allowance",
                                       .unit = "mm",
                                       .low = 7,
                                       .typical = 11,
                                       .high = 13,
                                       .min = 0,
                                       .max = 14.9,
                                       .transform = Transform::logit,
                                       .kind = Kind::geometry,
                                       .scope = Scope::product,
                                       .source = "judgement",
                                       .meaning = "Outer thickness less depth of the core."});
  visit(self.core_depth, DeclaredOverride{.name = "core_depth",
                                          .unit = "mm",
                                          .min = 5,
                                          .max = 110,
                                          .transform = Transform::log,
                                          .kind = Kind::geometry,
                                          .scope = Scope::product,
                                          .rule = "thickness less frame_allowance",
                                          .meaning = "Depth of the core along the air."});
  visit(self.face_length_share,
        Declared{.name = "face_length_share",
                 .unit = "1",
                 .low = 0.985,
                 .typical = 1.0,
                 .high = 1.015,
                 .min = 0.8,
                 .max = 1.2,
                 .transform = Transform::log,
                 .kind = Kind::geometry,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Length of the finned face over the length of the class."});
  visit(self.face_width_share,
        Declared{.name = "face_width_share",
                 .unit = "1",
                 .low = 0.96,
                 .typical = 1.0,
                 .high = 1.015,
                 .min = 0.7,
                 .max = 1.2,
                 .transform = Transform::log,
                 .kind = Kind::geometry,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Width of the finned face over the fan size of the class."});
  visit(self.side_plate,
        Declared{.name = "side_plate",
                 .unit = "mm",
                 .low = 0.8,
                 .typical = 1.5,
                 .high = 3,
                 .min = 0.1,
                 .max = 20,
                 .transform = Transform::log,
                 .kind = Kind::geometry,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Frame at each side of the face, used when the width is given."});
  visit(self.core_length,
        DeclaredOverride{.name = "core_length",
                         .unit = "mm",
                         .min = 60,
                         .max = 600,
                         .transform = Transform::log,
                         .kind = Kind::geometry,
                         .scope = Scope::product,
                         .rule = "class length x face_length_share",
                         .meaning = "Length of the finned face, along the tubes."});
  visit(self.core_width,
        DeclaredOverride{.name = "core_width",
                         .unit = "mm",
                         .min = 60,
                         .max = 240,
                         .transform = Transform::log,
                         .kind = Kind::geometry,
                         .scope = Scope::product,
                         .rule = "width less twice side_plate, else fan size x face_width_share",
                         .meaning = "Width of the finned face, across the tubes."});
  visit(self.fin_kind, DeclaredChoice{.name = "fin_kind",
                                      .words = {"louvered", "plain"},
                                      .meaning = "Fins with louvers, or flat ones."});
  visit(self.fin_density, Declared{.name = "fin_density",
                                   .unit = "fpi",
                                   .low = 15,
                                   .typical = 19,
                                   .high = 23,
                                   .min = 4,
                                   .max = 40,
                                   .transform = Transform::log,
                                   .kind = Kind::geometry,
                                   .scope = Scope::product,
                                   .source = "judgement",
                                   .meaning = "Fins per length along a tube."});
  visit(self.fin_height, Declared{.name = "fin_height",
                                  .unit = "mm",
                                  .low = 6,
                                  .typical = 7.5,
                                  .high = 9,
                                  .min = 2,
                                  .max = 20,
                                  .transform = Transform::log,
                                  .kind = Kind::geometry,
                                  .scope = Scope::product,
                                  .source = "judgement",
                                  .meaning = "Gap between two tubes that a row of fins fills."});
  visit(self.fin_thickness, Declared{.name = "fin_thickness",
                                     .unit = "mm",
                                     .low = 0.06,
                                     .typical = 0.10,
                                     .high = 0.15,
                                     .min = 0.02,
                                     .max = 0.4,
                                     .transform = Transform::log,
                                     .kind = Kind::geometry,
                                     .scope = Scope::product,
                                     .source = "judgement",
                                     .meaning = "Thickness of the fin sheet."});
  visit(self.fin_conductivity,
        Declared{.name = "fin_conductivity",
                 .unit = "W/(m K)",
                 .low = 160,
                 .typical = 200,
                 .high = 220,
                 .min = 10,
                 .max = 450,
                 .transform = Transform::log,
                 .kind = Kind::material,
                 .scope = Scope::product,
                 .source = "judgement; copper cores reach 390 W/(m K)",
                 .meaning = "Conductivity of fins and tube walls, aluminium unless said."});
  visit(self.louver_pitch, Declared{.name = "louver_pitch",
                                    .unit = "mm",
                                    .low = 0.8,
                                    .typical = 1.2,
                                    .high = 1.6,
                                    .min = 0.3,
                                    .max = 4,
                                    .transform = Transform::log,
                                    .kind = Kind::geometry,
                                    .scope = Scope::product,
                                    .source = "judgement",
                                    .meaning = "Width of one louver along the air."});
  visit(self.louver_angle, Declared{.name = "louver_angle",
                                    .unit = "deg",
                                    .low = 20,
                                    .typical = 27,
                                    .high = 32,
                                    .min = 8,
                                    .max = 40,
                                    .transform = Transform::log,
                                    .kind = Kind::geometry,
                                    .scope = Scope::product,
                                    .source = "judgement",
                                    .meaning = "Angle of the louvers against the air."});
  visit(self.louver_length_share,
        Declared{.name = "louver_length_share",
                 .unit = "1",
                 .low = 0.70,
                 .typical = 0.85,
                 .high = 0.92,
                 .min = 0.3,
                 .max = 1.0,
                 .transform = Transform::logit,
                 .kind = Kind::geometry,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Length of a louver over the height of the fin."});
  visit(self.tube_thickness,
        Declared{.name = "tube_thickness",
                 .unit = "mm",
                 .low = 1.3,
                 .typical = 2.0,
                 .high = 2.5,
                 .min = 0.9,
                 .max = 6,
                 .transform = Transform::logit,
                 .kind = Kind::geometry,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Outer thickness of a flat tube, across the air."});
  visit(self.tube_wall, Declared{.name = "tube_wall",
                                 .unit = "mm",
                                 .low = 0.20,
                                 .typical = 0.25,
                                 .high = 0.40,
                                 .min = 0.05,
                                 .max = 0.44,
                                 .transform = Transform::logit,
                                 .kind = Kind::geometry,
                                 .scope = Scope::product,
                                 .source = "judgement",
                                 .meaning = "Wall of a flat tube."});
  visit(self.passes, DeclaredCount{.name = "passes",
                                   .typical = 2,
                                   .min = 1,
                                   .max = 8,
                                   .meaning = "Times the coolant crosses the core's length."});
  visit(self.pass_arrangement,
        DeclaredChoice{.name = "pass_arrangement",
                       .words = {"beside", "behind"},
                       .meaning = "Passes side by side in the face, or behind each other in "
                                  "the air (2 passes: hot coolant meets the outgoing air)."});
  visit(self.tank_depth, Declared{.name = "tank_depth",
                                  .unit = "mm",
                                  .low = 8,
                                  .typical = 15,
                                  .high = 25,
                                  .min = 1,
                                  .max = 80,
                                  .transform = Transform::log,
                                  .kind = Kind::geometry,
                                  .scope = Scope::product,
                                  .source = "judgement",
                                  .meaning = "Inside depth of an end tank along the tubes."});
  visit(self.coverage,
        Declared{.name = "coverage",
                 .unit = "1",
                 .low = 0.80,
                 .typical = 0.92,
                 .high = 0.98,
                 .min = 0.3,
                 .max = 1.0,
                 .transform = Transform::logit,
                 .kind = Kind::assembly,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Share of the face behind a fan that air really uses (hub shadow, "
                            "frame)."});
  visit(self.air_loss,
        Declared{.name = "air_loss",
                 .unit = "1",
                 .low = 0.3,
                 .typical = 1,
                 .high = 4,
                 .min = 0,
                 .max = 40,
                 .transform = Transform::log,
                 .kind = Kind::assembly,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Further losses of the air, in velocity heads at the face."});
  visit(self.recirculation,
        Declared{.name = "recirculation",
                 .unit = "1",
                 .low = 0.005,
                 .typical = 0.02,
                 .high = 0.10,
                 .min = 0.0001,
                 .max = 0.6,
                 .transform = Transform::logit,
                 .kind = Kind::assembly,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Share of the intake that is the radiator's own outlet air."});
  visit(self.leak_share,
        Declared{.name = "leak_share",
                 .unit = "1",
                 .low = 0.02,
                 .typical = 0.10,
                 .high = 0.30,
                 .min = 0.001,
                 .max = 1,
                 .transform = Transform::logit,
                 .kind = Kind::assembly,
                 .scope = Scope::product,
                 .source = "judgement",
                 .meaning = "Opening beside fans smaller than the core, over the uncovered "
                            "face."});
  visit(self.passive_conductance,
        Declared{.name = "passive_conductance",
                 .unit = "W/K",
                 .low = 0.4,
                 .typical = 0.7,
                 .high = 1.2,
                 .min = 0.01,
                 .max = 20,
                 .transform = Transform::log,
                 .kind = Kind::assembly,
                 .scope = Scope::product,
                 .source = "judgement; with the hoses' own loss 0.5 / 0.9 / 1.5 W/K",
                 .meaning = "Heat from tanks and frame to still air, per kelvin."});
  visit(self.wet_metal_mass, Declared{.name = "wet_metal_mass",
                                      .unit = "kg",
                                      .low = 0.05,
                                      .typical = 0.15,
                                      .high = 0.5,
                                      .min = 0.001,
                                      .max = 5,
                                      .transform = Transform::log,
                                      .kind = Kind::geometry,
                                      .scope = Scope::product,
                                      .source = "judgement",
                                      .meaning = "Metal of the tanks that the coolant wets."});
  visit(self.frame_mass, Declared{.name = "frame_mass",
                                  .unit = "kg",
                                  .low = 0.1,
                                  .typical = 0.25,
                                  .high = 0.8,
                                  .min = 0.001,
                                  .max = 8,
                                  .transform = Transform::log,
                                  .kind = Kind::geometry,
                                  .scope = Scope::product,
                                  .source = "judgement",
                                  .meaning = "Metal of the frame, not wetted."});
  visit(self.frame_link, Declared{.name = "frame_link",
                                  .unit = "W/K",
                                  .low = 1,
                                  .typical = 4,
                                  .high = 8,
                                  .min = 0.01,
                                  .max = 100,
                                  .transform = Transform::log,
                                  .kind = Kind::assembly,
                                  .scope = Scope::product,
                                  .source = "judgement",
                                  .meaning = "Heat from the tanks into the frame, per kelvin."});
  visit(self.heat_factor,
        Declared{.name = "heat_factor",
                 .unit = "1",
                 .low = 0.816,
                 .typical = 1.0,
                 .high = 1.204,
                 .min = 0.1,
                 .max = 5,
                 .transform = Transform::log,
                 .kind = Kind::correction,
                 .scope = Scope::product,
                 .source = "half the log-variance of 0.75 / 1 / 1.3",
                 .meaning = "This core's air-side heat transfer over the correlation's."});
  visit(self.friction_factor,
        Declared{.name = "friction_factor",
                 .unit = "1",
                 .low = 0.854,
                 .typical = 1.0,
                 .high = 1.332,
                 .min = 0.1,
                 .max = 10,
                 .transform = Transform::log,
                 .kind = Kind::correction,
                 .scope = Scope::product,
                 .source = "half the log-variance of 0.8 / 1 / 1.5",
                 .meaning = "This core's air-side friction over the correlation's."});
  visit(self.tube_heat_factor,
        Declared{.name = "tube_heat_factor",
                 .unit = "1",
                 .low = 0.891,
                 .typical = 1.0,
                 .high = 1.104,
                 .min = 0.1,
                 .max = 5,
                 .transform = Transform::log,
                 .kind = Kind::correction,
                 .scope = Scope::product,
                 .source = "half the log-variance of 0.85 / 1 / 1.15",
                 .meaning = "This core's coolant-side heat transfer over the correlation's."});
}

}  // namespace libloop
