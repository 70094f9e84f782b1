// What moves by itself, and the slopes of a circuit in time, against differences.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "libloop/network/motion.hpp"
#include "libloop/network/plan.hpp"
#include "network/thermal_elements.hpp"
#include "support/lumps.hpp"

using namespace libloop;
using namespace libloop::network;
using libloop::testing::Dice;
using libloop::testing::Vector;

namespace {

std::size_t index(int i) { return static_cast<std::size_t>(i); }

// Not at rest, not in balance: flows and temperatures at random.
std::vector<double> somewhere(const Circuit& c, Dice& dice) {
  std::vector<double> x = c.start(300.0);
  for (int i = 0; i < c.unknowns(); ++i) {
    if (i < c.loops()) x[index(i)] = dice.uniform(-0.05, 0.05);
    const bool aux = i >= c.aux_row(0) && i < c.aux_row(c.auxiliaries());
    if (i >= c.loops() && !aux) x[index(i)] = dice.uniform(290.0, 340.0);
  }
  return x;
}

// Riders of every kind, over `answers` answers; one not linear, one with the states' own heat.
std::vector<Rider> riders(int answers) {
  using testing::of_answer;
  std::vector<Rider> all = {of_answer(Rider::Kind::value, 0),
                            of_answer(Rider::Kind::lagged, 1 % answers, 3.0),
                            of_answer(Rider::Kind::integral, 0), testing::stored_heat()};
  all[2].value = [](const std::vector<double>& a) { return 0.01 * a[0] * a[1]; };
  all[2].slopes = [](const std::vector<double>& a) {
    return std::vector<std::pair<int, double>>{{0, 0.01 * a[1]}, {1, 0.01 * a[0]}};
  };
  all[0].with_own_heat = true;
  return all;
}

// Everything moves: quantities, and own heat of two states.
Course course(const Circuit& c, const std::vector<double>& values, Dice& dice) {
  Course moved;
  moved.begin = 5.0;
  for (int q = 0; q < c.quantities(); ++q) {
    moved.moved.push_back(q);
    moved.value.push_back(values[index(q)]);
    moved.rate.push_back(values[index(q)] * dice.uniform(-0.02, 0.02));
  }
  for (const int state : {1, c.states() - 1}) {
    moved.own_heat.push_back({state, dice.uniform(0.0, 2.0), dice.uniform(-0.1, 0.1),
                              dice.uniform(300.0, 330.0), dice.uniform(-0.5, 0.5)});
  }
  return moved;
}

// (f(above) - f(below)) / 2h
Vector difference(const Vector& above, const Vector& below, double h) {
  return (above - below) / (2.0 * h);
}

void check_close(const Vector& exact, const Vector& other, double tolerance) {
  REQUIRE(exact.size() == other.size());
  for (Eigen::Index i = 0; i < exact.size(); ++i) {
    CAPTURE(i);
    CAPTURE(exact[i]);
    CAPTURE(other[i]);
    CHECK(std::abs(exact[i] - other[i]) <= tolerance * (1.0 + std::abs(exact[i])));
  }
}

// df/dt, and (M s - df/dx)^-1, of a circuit of which everything moves.
void check_motion(Circuit& c, const std::vector<double>& values, Dice& dice, double shift) {
  Motion motion(c, riders(c.answers()), 1e-4, 300.0, 0);
  motion.set(course(c, values, dice));
  constexpr double t = 7.0, dt = 1e-3;
  Vector z = motion.start(t, somewhere(c, dice), {});
  for (Eigen::Index i = motion.unknowns(); i < z.size(); ++i) z[i] += dice.uniform(-5.0, 5.0);
  Vector f, rate, above, below;
  motion.evaluate(t + dt, z, above);
  motion.evaluate(t - dt, z, below);
  motion.linearise(t, z, f, rate);
  check_close(rate, difference(above, below, dt), 1e-6);

  // Along a direction in which all unknowns move: what is solved for must be the direction.
  Vector along(z.size());
  for (Eigen::Index i = 0; i < along.size(); ++i) {
    along[i] = dice.uniform(-1.0, 1.0) * (i < c.loops() ? 1e-2 : 1.0);
  }
  constexpr double h = 1e-6;
  motion.evaluate(t, z + h * along, above);
  motion.evaluate(t, z - h * along, below);
  Vector right = shift * motion.mass().cwiseProduct(along) - difference(above, below, h);
  REQUIRE(motion.factor(shift));
  motion.solve(right);
  for (Eigen::Index i = 0; i < along.size(); ++i) {
    CAPTURE(i);
    CHECK(std::abs(right[i] - along[i]) <= 2e-4 * (i < c.loops() ? 1e-2 : 1.0));
  }
}

}  // namespace

TEST_CASE("rates and slopes of random circuits in motion are those of differences") {
  for (unsigned seed = 0; seed < 25; ++seed) {
    CAPTURE(seed);
    Dice dice(seed);
    Circuit c = testing::random_heat_circuit(dice, 3 + dice.below(4));
    check_motion(c, testing::heat_values(), dice, dice.decades(0.1, 10.0));
  }
}

TEST_CASE("so they are where capacities move, by temperature and by quantity") {
  for (unsigned seed = 0; seed < 10; ++seed) {
    CAPTURE(seed);
    Dice dice(seed);
    testing::Ring ring(0.5);
    ring.put({1, 0.0, 0.0, 0.01}, dice.uniform(50.0, 200.0), 300.0);
    ring.put({3, 0.0, 5.0, -0.008}, 0.0, 250.0);
    ring.put({5, 0.0, 40.0, 0.02}, 10.0, 700.0, true);
    ring.close();
    check_motion(ring.c, ring.values, dice, 1.0);
  }
}
