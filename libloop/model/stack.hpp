// Chip, spreader, paste and base of the cold plate: from the dies to the wall of the
// channels, and what the sensor makes of it. docs/theory/chip.md.
//
// Inputs   film conductance (W/K), wall, spreader, board, dies
// Outputs  heat into wall, spreader, board, dies; capacity of spreader, dies; answers
//          rise, heat_in, base, paste, spreader, spreading, solder, die,
//          hottest, sensor; then the hottest point of every die (K), power given off
#pragma once

#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "libloop/law/layer.hpp"
#include "libloop/law/spreading.hpp"
#include "libloop/network/circuit.hpp"
#include "libloop/part/bench.hpp"
#include "libloop/part/board.hpp"
#include "libloop/part/chip.hpp"
#include "libloop/part/cold_plate.hpp"
#include "libloop/part/conditions.hpp"
#include "libloop/part/laws.hpp"
#include "libloop/part/material.hpp"
#include "libloop/part/paste.hpp"
#include "libloop/part/sensor.hpp"
#include "libloop/quantity/table.hpp"

namespace libloop {

class Stack {
 public:
  static constexpr int most_dies = 8;
  static constexpr double softness = 0.2;  // K, width of the maximum over dies

  const Sheet *chip = nullptr, *paste = nullptr, *plate = nullptr, *board = nullptr;
  const Sheet *bench = nullptr, *sensor = nullptr, *laws = nullptr, *conditions = nullptr;
  std::vector<const Sheet*> dies;

  template <class T>
  using Each = std::array<T, most_dies>;
  template <class T>
  using Square = std::array<T, most_dies * most_dies>;

  template <class T>
  struct Prepared {
    std::optional<law::Spreading<T>> spreading;
    T area{};                       // of the compound plate
    T factor{};                     // on everything of the compound plate
    T spreader{}, paste{}, base{};  // one-dimensional resistances, K/W, factor included
    Each<T> silicon{}, solder{}, socket{}, power{}, capacity{}, share{};
    T spreader_capacity{};
    T slope{}, reference{};  // leakage when the load is stated at a reference
    bool leaks = false, mean = false;
    T offset{};
    network::Scales<3> scale;
  };

  template <class T>
  Prepared<T> prepare(const T* q) const {
    const Chip<T> c = take<Chip>(*chip, q);
    const Paste<T> between = take<Paste>(*paste, q);
    const ColdPlate<T> p = take<ColdPlate>(*plate, q);
    const Board<T> support = take<Board>(*board, q);
    const BenchItself<T> b = take<BenchItself>(*bench, q);
    const Sensor<T> reading = take<Sensor>(*sensor, q);
    const Laws<T> l = take<Laws>(*laws, q);
    const Conditions<T> at = take<Conditions>(*conditions, q);
    using std::sqrt;

    Prepared<T> s;
    // Layers of unlike size count as one plate: the geometric mean of their sides.
    const T side = sqrt(c.spreader_side * p.finned_side);
    s.area = side * side;
    s.factor = l.spreading;
    const T bond = between.bond_line * between.mount_factor;
    const T joint = law::joint_resistance<T>(bond, between.conductivity, between.contact, T(1.0));
    s.spreader =
        s.factor * law::layer_resistance<T>(c.spreader_thickness, c.spreader_conductivity, s.area);
    s.paste = s.factor * joint / s.area;
    s.base = s.factor * law::layer_resistance<T>(p.base_thickness, p.conductivity, s.area);

    std::vector<law::HeatedRectangle<T>> sources;
    T area(0.0), shares(0.0);
    Each<T> footprint{};
    const T narrow = sqrt(c.active_share);
    for (std::size_t i = 0; i < dies.size(); ++i) {
      const Die<T> die = take<Die>(*dies[i], q);
      const T active = die.length * die.width * c.active_share;
      s.silicon[i] = law::layer_resistance<T>(die.thickness, c.silicon_conductivity, active);
      s.solder[i] = law::layer_resistance<T>(c.solder_thickness, c.solder_conductivity, active);
      s.capacity[i] = die.length * die.width * die.thickness * material::silicon;
      s.power[i] = die.power_share;
      footprint[i] = die.length * die.width;
      area += footprint[i];
      shares += die.power_share;
      sources.push_back({die.x * side / c.spreader_side, die.y * side / c.spreader_side,
                         die.length * narrow, die.width * narrow});
    }
    const T load = c.load.or_else(at.load);
    for (std::size_t i = 0; i < dies.size(); ++i) {
      s.power[i] = s.power[i] / shares * load * b.power_factor;
      s.share[i] = footprint[i] / area;
      s.socket[i] = support.socket_conductance * s.share[i];
    }
    const law::CompoundPlate<T> compound{side,
                                         side,
                                         {c.spreader_thickness, c.spreader_conductivity},
                                         joint,
                                         {p.base_thickness, p.conductivity}};
    s.spreading.emplace(compound, sources);
    s.spreader_capacity =
        c.spreader_side * c.spreader_side * c.spreader_thickness * material::copper;
    s.leaks = b.load_at == 1;
    s.slope = c.leakage_slope;
    s.reference = c.leakage_reference;
    s.mean = reading.reads == 1;
    s.offset = reading.offset;
    return s;
  }

  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    using T = Promote<G, X>;
    const std::size_t n = dies.size();
    const X &film = in[0], &wall = in[1], &spreader = in[2], &under = in[3];
    const X* die = in + 4;

    // K/W: rise of receiver i over the spreader by the heat of source j. All solids s times as
    // conductive are as these under a film 1/s times as strong, with s times the heat.
    const double solids = p.scale[solid];
    Square<T> mean{}, centre{};
    p.spreading->template evaluate<T>(film * (1.0 / solids) / p.area, mean.data(), centre.data());
    for (std::size_t k = 0; k < n * n; ++k) {
      mean[k] *= T(p.factor);
      centre[k] *= T(p.factor);
    }
    const Each<T> q = heat_of_dies<G, X>(p, mean, spreader, die);

    T* heat = out;
    T* capacity = heat + 3 + n;
    T* answer = capacity + 1 + n;
    const T to_wall = (spreader - wall) / (0.5 * p.spreader + p.paste + p.base);
    heat[0] = to_wall * solids;
    heat[1] = -heat[0];
    heat[2] = T(0.0);
    capacity[0] = T(p.spreader_capacity);
    T given(0.0), all(0.0);
    for (std::size_t i = 0; i < n; ++i) {
      T power(p.power[i]);
      if (p.leaks) power = power * (1.0 + p.scale[leak] * p.slope * (die[i] - p.reference));
      const T through_socket = p.scale[socket] * p.socket[i] * (die[i] - under);
      const T up = q[i] * solids;
      heat[1] += up;
      heat[2] += through_socket;
      heat[3 + i] = power - up - through_socket;
      capacity[1 + i] = T(p.capacity[i]);
      given += power;
      all += q[i];
    }
    answer[1] = given;
    answer[2] = p.base * to_wall;
    answer[3] = p.paste * to_wall;
    answer[4] = 0.5 * p.spreader * (to_wall + all);
    read<G, X>(p, mean, centre, q, die, answer);
    answer[10 + n] = given;
  }

  void notes(const Prepared<double>&, const double*, Notes&) const {}

  // Leakage drives heat where a conductance would carry it off: one below zero.
  std::vector<network::Conductance> conductances() const {
    const std::string name = chip->path();
    std::vector<network::Conductance> all{{name + ", paste and base"}, {"socket of " + name}};
    if (bench->choice("load_at") == "reference") all.push_back({"leakage of " + name});
    return all;
  }
  std::vector<std::string> stores() const {
    const std::string suffix = chip->name().empty() ? "" : " of " + chip->path();
    std::vector<std::string> all(dies.size(), "dies" + suffix);
    all.insert(all.begin(), "spreader" + suffix);
    return all;
  }

 private:
  enum Scaled { solid, socket, leak };

  // Heat that leaves each die: (D + S + half spreader) q = T_die - T_spreader.
  template <class G, class X>
  Each<Promote<G, X>> heat_of_dies(const Prepared<G>& p, const Square<Promote<G, X>>& mean,
                                   const X& spreader, const X* die) const {
    using T = Promote<G, X>;
    const std::size_t n = dies.size();
    Each<T> q{};
    Square<T> a{};
    for (std::size_t i = 0; i < n; ++i) {
      q[i] = T(die[i] - spreader);
      for (std::size_t j = 0; j < n; ++j) a[i * n + j] = mean[i * n + j] + 0.5 * p.spreader;
      a[i * n + i] += T(p.silicon[i] + p.solder[i]);
    }
    solve(n, a, q);
    return q;
  }

  // What the sensor reads, and the budget from the spreader up, weighted over the dies as
  // the reading weights them.
  template <class G, class X>
  void read(const Prepared<G>& p, const Square<Promote<G, X>>& mean,
            const Square<Promote<G, X>>& centre, const Each<Promote<G, X>>& q, const X* die,
            Promote<G, X>* answer) const {
    using T = Promote<G, X>;
    using std::exp;
    using std::log;
    const std::size_t n = dies.size();
    Each<T> hottest{}, weight{};
    std::size_t top = 0;
    for (std::size_t i = 0; i < n; ++i) {
      hottest[i] = T(die[i]);
      for (std::size_t j = 0; j < n; ++j) {
        hottest[i] += (centre[i * n + j] - mean[i * n + j]) * q[j];
      }
      if (hottest[i] > hottest[top]) top = i;
      answer[10 + i] = hottest[i];
    }
    T sum(0.0);
    for (std::size_t i = 0; i < n; ++i) {
      weight[i] = p.mean ? T(p.share[i]) : T(exp((hottest[i] - hottest[top]) / softness));
      sum += weight[i];
    }
    T weighted(0.0), spreading(0.0), solder(0.0), silicon(0.0), peak(0.0);
    for (std::size_t i = 0; i < n; ++i) {
      const T w = weight[i] / sum;
      const T seen = p.mean ? T(die[i]) : hottest[i];
      weighted += w * seen;
      peak += w * (seen - die[i]);
      silicon += w * p.silicon[i] * q[i];
      solder += w * p.solder[i] * q[i];
      for (std::size_t j = 0; j < n; ++j) spreading += w * mean[i * n + j] * q[j];
    }
    const T reading = p.mean ? weighted : T(hottest[top] + softness * log(sum));
    answer[0] = reading + p.offset;
    answer[5] = spreading;
    answer[6] = solder;
    answer[7] = silicon;
    answer[8] = peak;
    answer[9] = reading - weighted + p.offset;
  }

  // Gaussian elimination; the matrix is diagonally heavy, so no pivoting.
  template <class T>
  static void solve(std::size_t n, Square<T>& a, Each<T>& b) {
    for (std::size_t k = 0; k < n; ++k) {
      for (std::size_t i = k + 1; i < n; ++i) {
        const T ratio = a[i * n + k] / a[k * n + k];
        for (std::size_t j = k; j < n; ++j) a[i * n + j] -= ratio * a[k * n + j];
        b[i] -= ratio * b[k];
      }
    }
    for (std::size_t k = n; k-- > 0;) {
      for (std::size_t j = k + 1; j < n; ++j) b[k] -= a[k * n + j] * b[j];
      b[k] = b[k] / a[k * n + k];
    }
  }
};

}  // namespace libloop
