// Socket and board under the chip.
#pragma once

#include "libloop/quantity/declared.hpp"

namespace libloop {

template <class T>
struct Board {
  T socket_conductance{};
  T air_conductance{};
  T own_heat{};
  T capacity{};

  template <class Self, class Visit>
  static void describe(Self& self, Visit&& visit);
};

template <class T>
template <class Self, class Visit>
void Board<T>::describe(Self& self, Visit&& visit) {
  visit(self.socket_conductance,
        Declared{.name = "socket_conductance",
                 .unit = "W/K",
                 .low = 0.1,
                 .typical = 0.3,
                 .high = 1,
                 .min = 0.001,
                 .max = 20,
                 .transform = Transform::log,
                 .kind = Kind::assembly,
                 .scope = Scope::bench,
                 .source = "judgement",
                 .meaning = "From the dies through the socket into the board."});
  visit(self.air_conductance, Declared{.name = "air_conductance",
                                       .unit = "W/K",
                                       .low = 1,
                                       .typical = 2.5,
                                       .high = 5,
                                       .min = 0.05,
                                       .max = 100,
                                       .transform = Transform::log,
                                       .kind = Kind::assembly,
                                       .scope = Scope::bench,
                                       .source = "judgement",
                                       .meaning = "From the board to the air around."});
  visit(self.own_heat, Declared{.name = "own_heat",
                                .unit = "1",
                                .low = 0.03,
                                .typical = 0.08,
                                .high = 0.15,
                                .min = 0,
                                .max = 3,
                                .transform = Transform::log,
                                .kind = Kind::duty,
                                .scope = Scope::bench,
                                .source = "judgement",
                                .meaning = "Heat the board makes itself, over the load."});
  visit(self.capacity, Declared{.name = "capacity",
                                .unit = "J/K",
                                .low = 100,
                                .typical = 300,
                                .high = 800,
                                .min = 1,
                                .max = 20000,
                                .transform = Transform::log,
                                .kind = Kind::material,
                                .scope = Scope::bench,
                                .source = "judgement",
                                .meaning = "Heat stored by board and socket."});
}

}  // namespace libloop
