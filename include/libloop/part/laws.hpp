// Doubts common to all uses of a correlation, whatever the cooler.
//
// Half of a correlation's published log-variance stands here, half with the part.
#pragma once

#include "libloop/quantity/declared.hpp"

namespace libloop {

template <class T>
struct Laws {
  T fin_heat{};
  T fin_friction{};
  T tube_heat{};
  T channel_heat{};
  T spreading{};

  template <class Self, class Visit>
  static void describe(Self& self, Visit&& visit);
};

template <class T>
template <class Self, class Visit>
void Laws<T>::describe(Self& self, Visit&& visit) {
  visit(self.fin_heat, Declared{.name = "fin_heat",
                                .unit = "1",
                                .low = 0.816,
                                .typical = 1.0,
                                .high = 1.204,
                                .min = 0.1,
                                .max = 5,
                                .transform = Transform::log,
                                .kind = Kind::correction,
                                .scope = Scope::law,
                                .source = "half the log-variance of 0.75 / 1 / 1.3",
                                .meaning = "Heat transfer of fins in air over the correlation's."});
  visit(self.fin_friction, Declared{.name = "fin_friction",
                                    .unit = "1",
                                    .low = 0.854,
                                    .typical = 1.0,
                                    .high = 1.332,
                                    .min = 0.1,
                                    .max = 10,
                                    .transform = Transform::log,
                                    .kind = Kind::correction,
                                    .scope = Scope::law,
                                    .source = "half the log-variance of 0.8 / 1 / 1.5",
                                    .meaning = "Friction of fins in air over the correlation's."});
  visit(self.tube_heat, Declared{.name = "tube_heat",
                                 .unit = "1",
                                 .low = 0.891,
                                 .typical = 1.0,
                                 .high = 1.104,
                                 .min = 0.1,
                                 .max = 5,
                                 .transform = Transform::log,
                                 .kind = Kind::correction,
                                 .scope = Scope::law,
                                 .source = "half the log-variance of 0.85 / 1 / 1.15",
                                 .meaning = "Heat transfer in flat tubes over the correlation's."});
  visit(self.channel_heat,
        Declared{.name = "channel_heat",
                 .unit = "1",
                 .low = 0.854,
                 .typical = 1.0,
                 .high = 1.138,
                 .min = 0.1,
                 .max = 5,
                 .transform = Transform::log,
                 .kind = Kind::correction,
                 .scope = Scope::law,
                 .source = "half the log-variance of 0.8 / 1 / 1.2",
                 .meaning = "Heat transfer in plate channels over the correlation's."});
  visit(self.spreading,
        Declared{.name = "spreading",
                 .unit = "1",
                 .low = 0.96,
                 .typical = 1.0,
                 .high = 1.04,
                 .min = 0.2,
                 .max = 5,
                 .transform = Transform::log,
                 .kind = Kind::correction,
                 .scope = Scope::law,
                 .source = "judgement: layers of unlike size taken as one",
                 .meaning = "Resistance of spreader, paste and base over the compound plate's."});
}

}  // namespace libloop
