// The chip: dies under a common spreader, and how much they leak.
//
// Law: law/spreading.hpp.
#pragma once

#include "libloop/quantity/declared.hpp"

namespace libloop {

template <class T>
struct Die {
  T length{};
  T width{};
  T thickness{};
  T x{};
  T y{};
  T power_share{};

  template <class Self, class Visit>
  static void describe(Self& self, Visit&& visit);
};

template <class T>
template <class Self, class Visit>
void Die<T>::describe(Self& self, Visit&& visit) {
  visit(self.length, Declared{.name = "length",
                              .unit = "mm",
                              .low = 20,
                              .typical = 24,
                              .high = 26,
                              .min = 2,
                              .max = 80,
                              .transform = Transform::log,
                              .kind = Kind::geometry,
                              .scope = Scope::bench,
                              .source = "from no chip in particular; judgement",
                              .meaning = "Length of the die."});
  visit(self.width, Declared{.name = "width",
                             .unit = "mm",
                             .low = 9.5,
                             .typical = 10.5,
                             .high = 12.5,
                             .min = 2,
                             .max = 80,
                             .transform = Transform::log,
                             .kind = Kind::geometry,
                             .scope = Scope::bench,
                             .source = "from no chip in particular; judgement",
                             .meaning = "Width of the die."});
  visit(self.thickness, Declared{.name = "thickness",
                                 .unit = "mm",
                                 .low = 0.4,
                                 .typical = 0.6,
                                 .high = 0.78,
                                 .min = 0.02,
                                 .max = 20,
                                 .transform = Transform::log,
                                 .kind = Kind::geometry,
                                 .scope = Scope::bench,
                                 .source = "judgement",
                                 .meaning = "Thickness of the die."});
  visit(
      self.x,
      Declared{.name = "x",
               .unit = "mm",
               .low = 0,
               .typical = 0,
               .high = 0,
               .min = -40,
               .max = 40,
               .transform = Transform::none,
               .kind = Kind::geometry,
               .scope = Scope::bench,
               .source = "exact",
               .meaning = "Centre of the die from the centre of the spreader, along its length."});
  visit(self.y,
        Declared{.name = "y",
                 .unit = "mm",
                 .low = 0,
                 .typical = 0,
                 .high = 0,
                 .min = -40,
                 .max = 40,
                 .transform = Transform::none,
                 .kind = Kind::geometry,
                 .scope = Scope::bench,
                 .source = "exact",
                 .meaning = "Centre of the die from the centre of the spreader, along its width."});
  visit(self.power_share,
        Declared{.name = "power_share",
                 .unit = "1",
                 .low = 1,
                 .typical = 1,
                 .high = 1,
                 .min = 0,
                 .max = 1000,
                 .transform = Transform::none,
                 .kind = Kind::duty,
                 .scope = Scope::bench,
                 .source = "exact",
                 .meaning = "Power of this die relative to the others; shares are normalised."});
}

template <class T>
struct Chip {
  Override<T> load;
  T active_share{};
  T silicon_conductivity{};
  T solder_thickness{};
  T solder_conductivity{};
  T spreader_thickness{};
  T spreader_side{};
  T spreader_conductivity{};
  T leakage_slope{};
  T leakage_reference{};
  Nominal limit;

  template <class Self, class Visit>
  static void describe(Self& self, Visit&& visit);
};

template <class T>
template <class Self, class Visit>
void Chip<T>::describe(Self& self, Visit&& visit) {
  visit(self.load,
        DeclaredOverride{.name = "load",
                         .unit = "W",
                         .min = 0,
                         .max = 5000,
                         .transform = Transform::log,
                         .kind = Kind::duty,
                         .scope = Scope::bench,
                         .rule = "that of the duty",
                         .meaning = "Heat load of this chip; that of the duty when left out."});
  visit(self.active_share,
        Declared{.name = "active_share",
                 .unit = "1",
                 .low = 0.45,
                 .typical = 0.65,
                 .high = 0.9,
                 .min = 0.02,
                 .max = 1,
                 .transform = Transform::logit,
                 .kind = Kind::geometry,
                 .scope = Scope::bench,
                 .source = "judgement",
                 .meaning = "Share of a die's area on which its power sits, a rectangle in its "
                            "middle."});
  visit(self.silicon_conductivity,
        Declared{.name = "silicon_conductivity",
                 .unit = "W/(m K)",
                 .low = 95,
                 .typical = 110,
                 .high = 130,
                 .min = 5,
                 .max = 450,
                 .transform = Transform::log,
                 .kind = Kind::material,
                 .scope = Scope::bench,
                 .source = "Incropera & DeWitt, Table A.1 (148 at 300 K, falling as T^-1.3), "
                           "from memory",
                 .meaning = "Conductivity of the die at 60 to 90 C."});
  visit(self.solder_thickness, Declared{.name = "solder_thickness",
                                        .unit = "mm",
                                        .low = 0.1,
                                        .typical = 0.3,
                                        .high = 0.5,
                                        .min = 0.005,
                                        .max = 2,
                                        .transform = Transform::log,
                                        .kind = Kind::assembly,
                                        .scope = Scope::bench,
                                        .source = "judgement",
                                        .meaning = "Solder, or paste, between die and spreader."});
  visit(self.solder_conductivity,
        Declared{.name = "solder_conductivity",
                 .unit = "W/(m K)",
                 .low = 40,
                 .typical = 60,
                 .high = 80,
                 .min = 0.3,
                 .max = 450,
                 .transform = Transform::log,
                 .kind = Kind::material,
                 .scope = Scope::bench,
                 .source = "judgement",
                 .meaning = "Conductivity of that layer, contacts included."});
  visit(self.spreader_thickness, Declared{.name = "spreader_thickness",
                                          .unit = "mm",
                                          .low = 1.8,
                                          .typical = 2.3,
                                          .high = 3.5,
                                          .min = 0.2,
                                          .max = 40,
                                          .transform = Transform::log,
                                          .kind = Kind::geometry,
                                          .scope = Scope::bench,
                                          .source = "judgement",
                                          .meaning = "Thickness of the spreader."});
  visit(self.spreader_side, Declared{.name = "spreader_side",
                                     .unit = "mm",
                                     .low = 28,
                                     .typical = 32,
                                     .high = 38,
                                     .min = 8,
                                     .max = 120,
                                     .transform = Transform::log,
                                     .kind = Kind::geometry,
                                     .scope = Scope::bench,
                                     .source = "judgement",
                                     .meaning = "Side of the spreader's contact face."});
  visit(self.spreader_conductivity,
        Declared{.name = "spreader_conductivity",
                 .unit = "W/(m K)",
                 .low = 350,
                 .typical = 390,
                 .high = 398,
                 .min = 10,
                 .max = 450,
                 .transform = Transform::none,
                 .kind = Kind::material,
                 .scope = Scope::bench,
                 .source = "Incropera & DeWitt, Table A.1 (401 pure), from memory; alloys "
                           "lower",
                 .meaning = "Conductivity of the spreader, copper unless said."});
  visit(self.leakage_slope, Declared{.name = "leakage_slope",
                                     .unit = "%",
                                     .low = 0.05,
                                     .typical = 0.3,
                                     .high = 0.8,
                                     .min = 0,
                                     .max = 20,
                                     .transform = Transform::log,
                                     .kind = Kind::material,
                                     .scope = Scope::bench,
                                     .source = "judgement",
                                     .meaning = "Relative growth of the power per kelvin."});
  visit(self.leakage_reference,
        Declared{.name = "leakage_reference",
                 .unit = "C",
                 .low = 60,
                 .typical = 60,
                 .high = 60,
                 .min = -20,
                 .max = 150,
                 .transform = Transform::none,
                 .kind = Kind::duty,
                 .scope = Scope::bench,
                 .source = "exact",
                 .meaning = "Temperature at which the load is stated when load_at is reference."});
  visit(self.limit,
        DeclaredNominal{.name = "limit",
                        .unit = "C",
                        .typical = 95,
                        .min = 30,
                        .max = 150,
                        .meaning = "Temperature at which the chip lowers its power; the maker's "
                                   "figure counts."});
}

}  // namespace libloop
