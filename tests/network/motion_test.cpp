// Circuits in time against exact solutions.
#include "libloop/network/motion.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "libloop/network/plan.hpp"
#include "libloop/network/solve.hpp"
#include "libloop/part/catalogue.hpp"
#include "libloop/part/tube_element.hpp"
#include "support/lumps.hpp"
#include "support/published.hpp"

using namespace libloop;
using namespace libloop::network;
using namespace libloop::testing;

namespace {

constexpr double tight = 1e-8;

std::size_t index(int i) { return static_cast<std::size_t>(i); }

int lump(Circuit& c, Lump law, int power) {
  const int state = c.add_state("lump");
  c.add(adapt(
      "lump", {{Input::Kind::state, state}},
      {{Output::Kind::heat, state}, {Output::Kind::capacity, state}, {Output::Kind::answer, 0}},
      {power}, law));
  return state;
}

// ---- lumps

Circuit one_lump() {
  Circuit c(1);
  lump(c, {1250.0, 1.0 / 0.05}, 0);
  c.close();
  c.prepare(std::vector<double>{200.0});
  return c;
}

Circuit two_lumps() {
  Circuit c(1);
  const int chip = lump(c, {400.0, 0.0}, 0), sink = lump(c, {2100.0, 1.0 / 0.10}, 1);
  c.add(adapt("link", {{Input::Kind::state, chip}, {Input::Kind::state, sink}},
              {{Output::Kind::heat, chip}, {Output::Kind::heat, sink}}, {}, Link{1.0 / 0.05}));
  c.close();
  c.prepare(std::vector<double>{200.0, 0.0});
  return c;
}

}  // namespace

TEST_CASE("one lump warms up as an exponential, and its reading lags behind") {
  Circuit c = one_lump();
  constexpr double lag = 4.0, tau = 62.5;
  const std::vector<double> times = {0.0, 10.0, 62.5, 125.0, 187.233, 287.823, 300.0};
  std::vector<Rider> riders = {of_answer(Rider::Kind::lagged, 0, lag)};
  const std::vector<Vector> at = motion_at(c, c.start(cold), times, tight, riders);
  const char* source = "exact: P R (1 - exp(-t/(R C))), 200 W, 0.05 K/W, 1250 J/K";
  published("one lump after 10 s, K", source, 1.47856, at[1][0] - cold, 5e-6);
  published("one lump after a time constant, K", source, 6.32121, at[2][0] - cold, 5e-6);
  published("one lump after two, K", source, 8.64665, at[3][0] - cold, 5e-6);
  published("one lump at 95 %, K", source, 9.5, at[4][0] - cold, 5e-6);
  published("one lump within 1 %, K", source, 9.9, at[5][0] - cold, 5e-6);
  published("one lump after 300 s, K", source, 9.91770, at[6][0] - cold, 5e-6);
  for (std::size_t i = 0; i < times.size(); ++i) {
    const double t = times[i];
    const double fades = (tau * std::exp(-t / tau) - lag * std::exp(-t / lag)) / (tau - lag);
    CHECK(at[i][1] == doctest::Approx(200.0 * (1.0 - fades)).epsilon(1e-6).scale(1.0));
  }
}

TEST_CASE("two lumps warm up as two exponentials") {
  Circuit c = two_lumps();
  const auto hot = [](double t) {
    return 30.0 - 6.767094 * std::exp(-t / 16.5728) - 23.232906 * std::exp(-t / 253.4272);
  };
  const char* source = "exact, two exponentials; 400 and 2100 J/K, 0.05 and 0.10 K/W, 200 W";
  for (const auto& [tolerance, allowed] : {std::pair{tight, 1e-5}, {1e-4, 2e-3}}) {
    const std::vector<Vector> at =
        motion_at(c, c.start(cold), {0.0, 20.0, 120.0, 600.0}, tolerance);
    published("two lumps, chip after 20 s, K", source, 6.505705, at[1][0] - cold, allowed);
    published("two lumps, sink after 20 s, K", source, 0.643112, at[1][1] - cold, allowed);
    published("two lumps, chip after 120 s, K", source, 15.525391, at[2][0] - cold, allowed);
    published("two lumps, sink after 120 s, K", source, 6.673170, at[2][1] - cold, allowed);
    CHECK(at[3][0] - cold == doctest::Approx(hot(600.0)).epsilon(allowed));
  }
}

TEST_CASE("what goes in less what comes out is stored, to rounding") {
  Circuit c = two_lumps();
  std::vector<Rider> riders = {of_answer(Rider::Kind::integral, 0), stored_heat()};
  const std::vector<double> times = {0.0, 3.0, 60.0, 1000.0, 1e5};
  // Whatever the tolerance: it holds in every step.
  for (const double tolerance : {1e-2, 1e-4}) {
    const std::vector<Vector> at = motion_at(c, c.start(cold), times, tolerance, riders);
    for (std::size_t i = 0; i < times.size(); ++i) {
      const double in = 200.0 * times[i];
      CHECK(std::abs(in - at[i][2] - at[i][3]) <= 1e-9 * in);
      // At the ends of steps; between them the cubics of both differ by the step's error.
      const double by_temperature = 400.0 * (at[i][0] - cold) + 2100.0 * (at[i][1] - cold);
      CHECK(at[i][3] == doctest::Approx(by_temperature).epsilon(10.0 * tolerance));
    }
  }
}

TEST_CASE("an error falls with the tolerance") {
  Circuit c = two_lumps();
  const std::vector<double> times = evenly(300.0, 30);
  const std::vector<Vector> best = motion_at(c, c.start(cold), times, 1e-11);
  double before = 1e300;
  for (const double tolerance : {1e-3, 1e-4, 1e-5, 1e-6, 1e-7, 1e-8}) {
    const std::vector<Vector> at = motion_at(c, c.start(cold), times, tolerance);
    double worst = 0.0;
    for (std::size_t i = 0; i < times.size(); ++i) {
      const Vector apart = (at[i] - best[i]).cwiseAbs();
      worst = std::max(worst, (apart.array() / (1.0 + (best[i].array() - cold))).maxCoeff());
    }
    CAPTURE(tolerance);
    CAPTURE(worst);
    CHECK(worst < 10.0 * tolerance);
    CHECK(worst < 0.5 * before);
    before = worst;
  }
}

// ---- a law that ends

namespace {

// Gives off heat that is not defined once it is 5 K warm.
struct Ends {
  template <class T>
  using Prepared = NoQuantities<T>;
  template <class T>
  Prepared<T> prepare(const T*) const {
    return {};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>&, const X* in, Promote<G, X>* out) const {
    using std::sqrt;
    out[0] = 0.1 * sqrt(cold + 5.0 - in[0]);
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

}  // namespace

TEST_CASE("a law that ends where it is too warm ends the run, and is named") {
  Circuit c(1);
  lump(c, {100.0, 0.0}, 0);
  const int second = lump(c, {1000.0, 0.0}, 0);
  c.add(adapt("ends", {{Input::Kind::state, second}}, {{Output::Kind::heat, second}}, {}, Ends{}));
  c.close();
  c.prepare(std::vector<double>{100.0});
  const std::vector<double> x = c.start(cold);
  CHECK_THROWS_AS(motion_at(c, x, {0.0, 100.0}, 1e-4), math::NoStep);
  CHECK(motion_at(c, x, {0.0, 40.0}, 1e-4).size() == 2);

  Motion motion(c, {}, 1e-4, cold, nowhere);
  motion.set({});
  Vector z = motion.start(0.0, x, {});
  CHECK(motion.culprit(0.0, z).empty());
  z[c.state_row(second)] = cold + 6.0;
  CHECK(motion.culprit(0.0, z) == c.name(c.state_row(second)));
  // An error that is not a number is not a small one.
  const Vector none = Vector::Constant(z.size(), std::nan(""));
  CHECK_FALSE(motion.error(z, z, none) <= 1.0);
}

// ---- coolant that carries a step

namespace {

// The outlet over the step of the inlet, 0 to 1, evenly over a span; the delay by V/q.
struct Response {
  double span = 0.0, delay = 0.0;
  std::vector<double> outlet;

  // Moments of the delays of all that comes out.
  double mean() const {
    std::vector<double> missing;
    for (const double y : outlet) missing.push_back(1.0 - y);
    return simpson(missing, span);
  }
  double variance() const {
    std::vector<double> weighed;
    const double n = static_cast<double>(outlet.size() - 1);
    for (std::size_t i = 0; i < outlet.size(); ++i) {
      weighed.push_back(2.0 * (span * static_cast<double>(i) / n) * (1.0 - outlet[i]));
    }
    return simpson(weighed, span) - mean() * mean();
  }
};

Response response(double litres, double litres_per_minute, int cells, double spans) {
  Ring ring(litres_per_minute);
  ring.put({cells}, 0.0, litres * 1e-3 * density * heating);
  const int source = ring.source();
  ring.close();
  std::vector<double> x = ring.c.start(cold);
  x[index(ring.c.state_row(source))] = cold + 1.0;
  Response r;
  r.delay = litres / litres_per_minute * 60.0;
  r.span = spans * r.delay;
  std::vector<Rider> riders = {of_answer(Rider::Kind::value, 0)};
  for (const Vector& z : motion_at(ring.c, x, evenly(r.span, 4000), tight, riders)) {
    r.outlet.push_back(z[z.size() - 1] - cold);
  }
  return r;
}

}  // namespace

TEST_CASE("a hose delays by its volume over its flow, and smears less the more cells it has") {
  const double area = 0.25 * 3.141592653589793 * 5.5e-3 * 5.5e-3;
  const double litres = area * 0.4 * 1e3;
  published("volume of 0.4 m of 5.5 mm hose, mL", "exact", 9.50332, 1e3 * litres, 1e-6);
  for (const int cells : {1, 2, 4, 16, 64}) {
    const Response r = response(litres, 1.0, cells, cells == 1 ? 16.0 : 10.0);
    CAPTURE(cells);
    published("delay of a hose in cells, s", "exact: V/q, any number of cells", 0.570199, r.mean(),
              1e-4);
    published("spread of a hose's delay, cells x variance / delay^2",
              "exact: a chain of stirred cells, variance = delay^2 / cells", 1.0,
              r.variance() * cells / (r.delay * r.delay), 1e-3);
  }
}

TEST_CASE("a stirred tank follows its inlet as an exponential") {
  Ring ring(1.0);
  ring.put({}, 0.0, 0.1e-3 * density * heating);
  const int source = ring.source();
  ring.close();
  std::vector<double> x = ring.c.start(cold);
  x[index(ring.c.state_row(source))] = cold + 1.0;
  const std::vector<Vector> at = motion_at(ring.c, x, {0.0, 3.0, 6.0, 18.0}, tight);
  const auto tank = [&](std::size_t i) { return at[i][ring.c.state_row(0)] - cold; };
  const char* source_of = "exact: 1 - exp(-t q/V), 100 mL at 1 L/min";
  published("a stirred tank after 3 s", source_of, 0.393469, tank(1), 2e-6);
  published("a stirred tank after 6 s", source_of, 0.632121, tank(2), 2e-6);
  published("a stirred tank after 18 s", source_of, 0.950213, tank(3), 2e-6);
}

TEST_CASE("a closed loop without losses rises step by step, once a lap") {
  constexpr double litres = 0.25, power = 150.0, lap = 18.75;
  constexpr int cells = 100;
  Ring ring(0.8);
  const int first = ring.put({cells}, power, litres * 1e-3 * density * heating, true);
  ring.close();
  const std::vector<double> times = evenly(4.0 * lap, 16);
  const std::vector<Vector> at = motion_at(ring.c, ring.c.start(cold), times, 1e-7);
  const auto mean = [&](std::size_t i) {
    return at[i].segment(ring.c.state_row(first), cells).mean() - cold;
  };
  const auto heated = [&](std::size_t i) { return at[i][ring.c.state_row(first)] - cold; };
  const char* source = "exact: P t / (V rho cp), 250 mL at 0.8 L/min, 150 W";
  published("a closed loop, rise per lap, K", source, 2.713742, mean(4), 1e-6);
  published("a closed loop, rise in four laps, K", source, 4 * 2.713742, mean(16), 1e-6);
  for (std::size_t i = 1; i <= 16; ++i) {
    CHECK(mean(i) ==
          doctest::Approx(power * times[i] / (litres * 1e-3 * density * heating)).epsilon(1e-7));
  }
  // Where it is heated: one rise at once, the next when the first warm coolant comes back.
  published("heated coolant before its first return, K", source, 2.713742, heated(2), 2e-3);
  published("heated coolant after its first return, K", source, 2 * 2.713742, heated(6), 2e-3);
  published("heated coolant after its second return, K", source, 3 * 2.713742, heated(10), 5e-3);
}

TEST_CASE("a core in cells comes to the same rest, however many") {
  constexpr double air = 77.3, coolant = 50.1, ua = 68.5, load = 252.0;  // W/K, W
  const double row = law::row_conductance(air, ua);
  const double expected = load / (coolant * (1.0 - std::exp(-row / coolant)));
  for (const int cells : {1, 3, 8}) {
    Ring ring(coolant / heating / density * 6e4);
    const int hot = ring.put({}, load, 200.0);
    ring.put({cells, 0.0, row}, 0.0, 900.0, true);
    ring.close();
    const std::vector<Vector> at = motion_at(ring.c, ring.c.start(cold), {0.0, 2000.0}, tight);
    published("inlet of a core at rest over its air, K",
              "exact: Q / (C_c (1 - exp(-K/C_c))), K = C_a (1 - exp(-UA/C_a)); any cells", expected,
              at[1][ring.c.state_row(hot)] - cold, 1e-6);
  }
}

TEST_CASE("what is left by too few cells halves when they double") {
  constexpr double t = 20.0;
  const auto reading = [&](int cells) {
    Ring ring(1.0);
    const int hot = ring.put({}, 150.0, 300.0);
    ring.put({cells}, 0.0, 250.0);
    ring.put({cells, 0.0, 30.0}, 0.0, 400.0, true);
    ring.close();
    return motion_at(ring.c, ring.c.start(cold), {0.0, t}, 1e-9)[1][ring.c.state_row(hot)];
  };
  double before = reading(4) - reading(8);
  for (const int cells : {8, 16, 32}) {
    const double now = reading(cells) - reading(2 * cells);
    CAPTURE(cells);
    CAPTURE(now);
    CHECK(before / now > 1.7);
    CHECK(before / now < 2.3);
    before = now;
  }
}

// ---- the product's own hose

TEST_CASE("the hose of a cooler delays by its capacity over the flow's, however many cells") {
  Sheet tube{table_of("tube")}, coolant{table_of("coolant")};
  tube.set("length", "0.4 m");
  tube.set("bore", "5.5 mm");
  tube.set("heat_loss", "0.001 W/(m K)");
  for (const int cells : {1, 4, 16}) {
    Ring ring(1.0);
    ring.c.add_aux("around", cold);
    const int around = ring.specific_heat + 1;
    ring.c.add(adapt("around", {}, {{Output::Kind::define, around}}, {}, Constant{cold}));
    // A source, and the hose behind it.
    const int source = ring.put({}, 0.0, 1e14);
    const int first = ring.c.states();
    std::vector<Input> in;
    std::vector<Output> out;
    for (int j = 0; j < cells; ++j) ring.c.add_state("hose");
    const int b =
        ring.c.add_branch({ring.stream, 1, 0, first, first + cells - 1, ring.flow, "hose"});
    in = {
        {Input::Kind::flow, b}, {Input::Kind::aux, ring.specific_heat}, {Input::Kind::aux, around}};
    out = {{Output::Kind::drop, b}, {Output::Kind::outlet, b}};
    for (int j = 0; j < cells; ++j) in.push_back({Input::Kind::state, first + j});
    for (int j = 0; j < cells; ++j) out.push_back({Output::Kind::heat, first + j});
    out.push_back({Output::Kind::answer, 14});
    for (int twice = 0; twice < 2; ++twice) {
      for (int j = 0; j < cells; ++j) out.push_back({Output::Kind::capacity, first + j});
    }
    out.push_back({Output::Kind::answer, 15});
    std::vector<int> own;
    for (const Sheet* sheet : {&tube, &coolant}) {
      for (const std::size_t row : sheet->continuous()) {
        own.push_back(static_cast<int>(ring.values.size()));
        ring.values.push_back(sheet->entry(row).range.typical);
      }
    }
    TubeElement law;
    law.tube = &tube;
    law.coolant = &coolant;
    law.cells = cells;
    ring.c.add(adapt("hose", in, out, own, law));
    ring.close();
    std::vector<double> x = ring.c.start(cold);
    Evaluation work;
    SolveOptions options;
    REQUIRE(follow(ring.c, options, x, work).usable);
    double capacity = 0.0;
    for (int j = 0; j < cells; ++j) capacity += work.capacity[index(first + j)];
    const double delay = capacity / (work.flow[index(b)] * heating);
    x[index(ring.c.state_row(source))] = cold + 0.01;  // properties as good as constant
    const double span = (cells == 1 ? 16.0 : 10.0) * delay;
    std::vector<double> missing;
    for (const Vector& z : motion_at(ring.c, x, evenly(span, 4000), 1e-10)) {
      missing.push_back(1.0 - (z[ring.c.state_row(first + cells - 1)] - cold) / 0.01);
    }
    CAPTURE(cells);
    CHECK(capacity > 0.4 * 50.0 + 9.50332e-6 * 900.0 * 3000.0);
    CHECK(simpson(missing, span) == doctest::Approx(delay).epsilon(1e-3));
  }
}
