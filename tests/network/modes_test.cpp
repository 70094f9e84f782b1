// Slow modes of circuits and who owns them.
#include "libloop/network/modes.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "network/thermal_elements.hpp"

using namespace libloop;
using namespace libloop::network;

namespace {

// A lump that stores heat and gives some to another. Inputs: itself, the other. Outputs: heat
// into both, capacity.
struct Lump {
  double capacity = 1.0, conductance = 1.0, power = 0.0;
  std::string name;
  template <class T>
  struct Prepared {
    Scales<1> scale;
  };
  template <class T>
  Prepared<T> prepare(const T*) const {
    return {};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    const X given = p.scale[0] * conductance * (in[0] - in[1]);
    out[0] = power - given;
    out[1] = X(given);
    out[2] = X(capacity);
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
  std::vector<Conductance> conductances() const { return {{"link of " + name}}; }
  std::vector<std::string> stores() const { return {name}; }
};

void add_lump(Circuit& c, int state, Input other, Lump lump) {
  const int into = other.kind == Input::Kind::state ? other.index : nowhere;
  c.add(adapt(
      lump.name, {{Input::Kind::state, state}, other},
      {{Output::Kind::heat, state}, {Output::Kind::heat, into}, {Output::Kind::capacity, state}},
      {}, lump));
}

struct Ambient {
  template <class T>
  struct Prepared {};
  template <class T>
  Prepared<T> prepare(const T*) const {
    return {};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>&, const X*, Promote<G, X>* out) const {
    out[0] = Promote<G, X>(300.0);
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

// A chain of lumps, the last one cooled by what stays at 300 K.
Circuit chain(const std::vector<Lump>& lumps) {
  Circuit c(1);
  const int ambient = c.add_aux("ambient", 300.0);
  c.add(adapt("ambient", {}, {{Output::Kind::define, ambient}}, {}, Ambient{}));
  for (std::size_t i = 0; i < lumps.size(); ++i) c.add_state(lumps[i].name);
  for (int i = 0; i < static_cast<int>(lumps.size()); ++i) {
    const bool last = i + 1 == static_cast<int>(lumps.size());
    add_lump(c, i, last ? Input{Input::Kind::aux, ambient} : Input{Input::Kind::state, i + 1},
             lumps[static_cast<std::size_t>(i)]);
  }
  c.close();
  c.prepare({});
  return c;
}

std::vector<double> settled(const Circuit& c) {
  std::vector<double> x = c.start(300.0);
  Evaluation work;
  REQUIRE(solve(c, {}, x, work).usable);
  return x;
}

double sum(const std::vector<Share>& shares) {
  double all = 0.0;
  for (const Share& s : shares) all += s.share;
  return all;
}

double share(const std::vector<Share>& shares, const std::string& name) {
  for (const Share& s : shares) {
    if (s.name == name) return s.share;
  }
  FAIL("no share of " << name);
  return 0.0;
}

}  // namespace

// C1 400, C2 2100 J/K, 0.05 K/W between them, 0.10 K/W to ambient. The roots of
// s^2 + (20/400 + 30/2100) s + 20 x 10/(400 x 2100) by hand.
TEST_CASE("the modes of two lumps in a chain are the roots of their quadratic") {
  const double a = 20.0 / 400.0 + 30.0 / 2100.0, b = 200.0 / (400.0 * 2100.0);
  const double root = std::sqrt(a * a - 4.0 * b);
  const double slow = -2.0 * b / (a + root), fast = -0.5 * (a + root);
  CHECK(slow == doctest::Approx(-0.00394591).epsilon(1e-5));
  CHECK(fast == doctest::Approx(-0.0603398).epsilon(1e-5));
  Circuit c = chain({{400.0, 20.0, 100.0, "chip"}, {2100.0, 10.0, 0.0, "loop"}});
  const std::vector<double> x = settled(c);
  const Modes modes(c, x, {}, {}, 2);
  REQUIRE(modes.summary().usable);
  REQUIRE(modes.count() == 2);
  CHECK(modes.all()[0].time_constant == doctest::Approx(-1.0 / slow).epsilon(1e-12));
  CHECK(modes.all()[1].time_constant == doctest::Approx(-1.0 / fast).epsilon(1e-12));
  for (const Mode& mode : modes.all()) {
    CHECK(mode.period == 0.0);
    CHECK(sum(mode.capacities) == doctest::Approx(1.0).epsilon(1e-12));
    CHECK(sum(mode.conductances) == doctest::Approx(-1.0).epsilon(1e-10));
  }
  // By hand: with v = (1, r), r = 1 + 400 lambda/20, as B is symmetric w = v and
  // p_1 = 400/(400 + 2100 r^2); the link's part is 20 (1 - r)^2 over all.
  const double r = 1.0 + 20.0 * slow, all = 400.0 + 2100.0 * r * r;
  CHECK(share(modes.all()[0].capacities, "chip") == doctest::Approx(400.0 / all).epsilon(1e-10));
  CHECK(share(modes.all()[0].conductances, "link of chip") ==
        doctest::Approx(20.0 * (1.0 - r) * (1.0 - r) / (all * slow)).epsilon(1e-9));
  CHECK(share(modes.all()[0].conductances, "link of loop") ==
        doctest::Approx(10.0 * r * r / (all * slow)).epsilon(1e-9));
  CHECK(modes.all()[0].capacities[0].name == "loop");  // the larger one first
}

TEST_CASE("readings are the sum of their modes, and the exponential of the matrix") {
  Circuit c = chain({{400.0, 20.0, 100.0, "chip"}, {2100.0, 10.0, 0.0, "loop"}});
  const Modes modes(c, settled(c), {}, {}, 0);
  const std::vector<double> gradient{1.0, 0.0}, start{-15.0, -10.0};
  const std::vector<double> parts = modes.amplitudes(gradient, start);
  CHECK(parts[0] + parts[1] == doctest::Approx(-15.0).epsilon(1e-12));
  CHECK(modes.reading(gradient, start, 0.0) == doctest::Approx(-15.0).epsilon(1e-12));
  // Steps of a classical Runge-Kutta scheme of order 4.
  double t1 = -15.0, t2 = -10.0;
  const double h = 0.05;
  const auto slope1 = [](double a, double b) { return -20.0 * (a - b) / 400.0; };
  const auto slope2 = [](double a, double b) { return (20.0 * (a - b) - 10.0 * b) / 2100.0; };
  for (int i = 0; i < 2000; ++i) {
    const double a1 = slope1(t1, t2), b1 = slope2(t1, t2);
    const double a2 = slope1(t1 + 0.5 * h * a1, t2 + 0.5 * h * b1);
    const double b2 = slope2(t1 + 0.5 * h * a1, t2 + 0.5 * h * b1);
    const double a3 = slope1(t1 + 0.5 * h * a2, t2 + 0.5 * h * b2);
    const double b3 = slope2(t1 + 0.5 * h * a2, t2 + 0.5 * h * b2);
    const double a4 = slope1(t1 + h * a3, t2 + h * b3), b4 = slope2(t1 + h * a3, t2 + h * b3);
    t1 += h / 6.0 * (a1 + 2.0 * a2 + 2.0 * a3 + a4);
    t2 += h / 6.0 * (b1 + 2.0 * b2 + 2.0 * b3 + b4);
  }
  CHECK(modes.reading(gradient, start, 100.0) == doctest::Approx(t1).epsilon(1e-9));
  CHECK(modes.states(start, 100.0)[1] == doctest::Approx(t2).epsilon(1e-9));
}

TEST_CASE("shares are the differences of a time constant with changed parts") {
  const std::vector<Lump> lumps = {{3.0, 8.0, 40.0, "die"},
                                   {60.0, 15.0, 0.0, "spreader"},
                                   {900.0, 30.0, 0.0, "coolant"},
                                   {2500.0, 2.0, 0.0, "frame"}};
  Circuit c = chain(lumps);
  const Modes modes(c, settled(c), {}, {}, 4);
  const double step = 1e-5;
  for (std::size_t i = 0; i < lumps.size(); ++i) {
    const auto slope = [&](double Lump::*which, std::size_t mode) {
      double log[2];
      for (const int side : {0, 1}) {
        std::vector<Lump> moved = lumps;
        moved[i].*which *= std::exp(side == 0 ? -step : step);
        Circuit other = chain(moved);
        log[side] = std::log(Modes(other, settled(other), {}, {}, 0).all()[mode].time_constant);
      }
      return (log[1] - log[0]) / (2.0 * step);
    };
    for (std::size_t k = 0; k < lumps.size(); ++k) {
      const Mode& mode = modes.all()[k];
      CHECK(share(mode.capacities, lumps[i].name) ==
            doctest::Approx(slope(&Lump::capacity, k)).epsilon(1e-7).scale(1.0));
      CHECK(share(mode.conductances, "link of " + lumps[i].name) ==
            doctest::Approx(slope(&Lump::conductance, k)).epsilon(1e-7).scale(1.0));
    }
  }
}

namespace {

// Defines a film and cools a lump by it. Inputs: lump, ambient. Outputs: heat, capacity, film.
struct FilmOwner {
  double film = 1.0;
  template <class T>
  struct Prepared {
    Scales<1> scale;
  };
  template <class T>
  Prepared<T> prepare(const T*) const {
    return {};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    // Warmer coolant is thinner.
    const X now = film * (1.0 + 0.002 * (in[0] - 300.0));
    out[0] = -p.scale[0] * now * (in[0] - in[1]);
    out[1] = X(70.0);
    out[2] = X(now);
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
  std::vector<Conductance> conductances() const { return {{"film", true}}; }
};

// A solid behind the film. Inputs: film, one lump, the other. Outputs: heat into both.
struct BehindFilm {
  double solid = 12.0;
  template <class T>
  struct Prepared {
    Scales<1> scale;
  };
  template <class T>
  Prepared<T> prepare(const T*) const {
    return {};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    out[0] = (in[2] - in[1]) / (1.0 / in[0] + 1.0 / (p.scale[0] * solid));
    out[1] = -out[0];
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
  std::vector<Conductance> conductances() const { return {{"solid"}}; }
};

Circuit filmed(double film, double solid) {
  Circuit c(1);
  const int ambient = c.add_aux("ambient", 300.0), shared = c.add_aux("film", film);
  const int cool = c.add_state("cool"), hot = c.add_state("hot");
  c.add(adapt("ambient", {}, {{Output::Kind::define, ambient}}, {}, Ambient{}));
  c.add(adapt(
      "owner", {{Input::Kind::state, cool}, {Input::Kind::aux, ambient}},
      {{Output::Kind::heat, cool}, {Output::Kind::capacity, cool}, {Output::Kind::define, shared}},
      {}, FilmOwner{film}));
  c.add(adapt("behind",
              {{Input::Kind::aux, shared}, {Input::Kind::state, cool}, {Input::Kind::state, hot}},
              {{Output::Kind::heat, cool}, {Output::Kind::heat, hot}}, {}, BehindFilm{solid}));
  add_lump(c, hot, {Input::Kind::aux, ambient}, {30.0, 0.5, 0.0, "hot"});
  c.close();
  c.prepare({});
  return c;
}

}  // namespace

// At 300 K everywhere nothing flows, and slopes alone decide.
TEST_CASE("a conductance that is handed on counts where others read it") {
  const double step = 1e-5;
  Circuit c = filmed(9.0, 12.0);
  const std::vector<double> x = settled(c);
  const Modes modes(c, x, {}, {}, 2);
  for (std::size_t k = 0; k < 2; ++k) {
    const auto log_time = [&](double film, double solid) {
      Circuit other = filmed(film, solid);
      return std::log(Modes(other, settled(other), {}, {}, 0).all()[k].time_constant);
    };
    const double up = std::exp(step), down = std::exp(-step);
    const std::vector<Share>& shares = modes.all()[k].conductances;
    CHECK(sum(shares) == doctest::Approx(-1.0).epsilon(1e-10));
    CHECK(share(shares, "film") ==
          doctest::Approx((log_time(9.0 * up, 12.0) - log_time(9.0 * down, 12.0)) / (2.0 * step))
              .epsilon(1e-7));
    CHECK(share(shares, "solid") ==
          doctest::Approx((log_time(9.0, 12.0 * up) - log_time(9.0, 12.0 * down)) / (2.0 * step))
              .epsilon(1e-7));
  }
}

// A load read hot grows with its own rise: a conductance below zero.
TEST_CASE("an extra slope is a conductance below zero under its name") {
  Circuit c = chain({{400.0, 20.0, 100.0, "chip"}, {2100.0, 10.0, 0.0, "loop"}});
  const std::vector<double> x = settled(c);
  const std::vector<double> extra{2.0, 0.0};
  const std::vector<std::string> names{"leakage of chip", ""};
  const Modes modes(c, x, extra, names, 2);
  CHECK(sum(modes.all()[0].conductances) == doctest::Approx(-1.0).epsilon(1e-10));
  CHECK(share(modes.all()[0].conductances, "leakage of chip") > 0.0);
  const double step = 1e-5;
  const std::vector<double> up{2.0 * std::exp(step), 0.0}, down{2.0 * std::exp(-step), 0.0};
  const double more = std::log(Modes(c, x, up, names, 0).all()[0].time_constant);
  const double less = std::log(Modes(c, x, down, names, 0).all()[0].time_constant);
  CHECK(share(modes.all()[0].conductances, "leakage of chip") ==
        doctest::Approx((more - less) / (2.0 * step)).epsilon(1e-6));
  // More leakage than the links carry off: it grows.
  const std::vector<double> much{20.0, 0.0};
  const Modes growing(c, x, much, names, 2);
  CHECK(growing.all()[0].time_constant < 0.0);
  CHECK(sum(growing.all()[0].conductances) == doctest::Approx(-1.0).epsilon(1e-10));
}

namespace {

// Coolant that runs through one lump after the other and round again. Inputs: flow, specific
// heat, itself, ambient. Outputs: drop, outlet, heat, capacity.
struct Tub {
  double capacity = 100.0, loss = 1.0, rise = 0.0;
  template <class T>
  struct Prepared {
    Scales<2> scale;
  };
  template <class T>
  Prepared<T> prepare(const T*) const {
    return {};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    out[0] = in[0] * 1e4 - rise;
    out[1] = X(in[2]);
    out[2] =
        -carrying_flow(in[0]) * in[1] * in[2] * p.scale[0] - p.scale[1] * loss * (in[2] - in[3]);
    out[3] = X(capacity);
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
  std::vector<Conductance> conductances() const { return {{"coolant flow"}, {"losses"}}; }
};

struct Fixed {
  double value = 0.0;
  template <class T>
  struct Prepared {};
  template <class T>
  Prepared<T> prepare(const T*) const {
    return {};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>&, const X*, Promote<G, X>* out) const {
    out[0] = Promote<G, X>(value);
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

// A ring of equal tubs. `asked`: their places have temperatures of their own.
Circuit ring(int tubs, double specific_heat, bool asked, double rise = 300.0) {
  Circuit c(1);
  const int ambient = c.add_aux("ambient", 300.0);
  const int heat = c.add_aux("specific heat", specific_heat);
  c.add(adapt("ambient", {}, {{Output::Kind::define, ambient}}, {}, Fixed{300.0}));
  c.add(adapt("heat", {}, {{Output::Kind::define, heat}}, {}, Fixed{specific_heat}));
  const int coolant = c.add_stream({"coolant", true, heat});
  for (int i = 0; i < tubs; ++i) c.add_node(coolant, "place");
  for (int i = 0; i < tubs; ++i) {
    const int s = c.add_state("tub");
    const int b = c.add_branch({coolant, i, (i + 1) % tubs, s, s, 0.01, "tub"});
    std::vector<Input> inputs{{Input::Kind::flow, b},
                              {Input::Kind::aux, heat},
                              {Input::Kind::state, s},
                              {Input::Kind::aux, ambient}};
    if (asked) inputs.push_back({Input::Kind::inlet, b});
    c.add(adapt("tub", inputs,
                {{Output::Kind::drop, b},
                 {Output::Kind::outlet, b},
                 {Output::Kind::heat, s},
                 {Output::Kind::capacity, s}},
                {}, Tub{100.0, 1.0, i == 0 ? rise : 0.0}));
  }
  c.close();
  c.prepare({});
  return c;
}

}  // namespace

// n equal tubs with the rate g = m c: lambda = (-g - k + g e^(2 pi i j/n))/C, a pair for every
// j but 0 and n/2.
TEST_CASE("coolant running round swings: pairs are those of a ring, and told once") {
  const int tubs = 4;
  for (const bool asked : {false, true}) {
    Circuit c = ring(tubs, 3800.0, asked);
    const std::vector<double> x = settled(c);
    const Modes modes(c, x, {}, {}, tubs);
    REQUIRE(modes.count() == 3);
    const double rate = c.flow(x, 0) * 3800.0;
    CHECK(modes.all()[0].time_constant == doctest::Approx(100.0).epsilon(1e-9));
    CHECK(modes.all()[1].time_constant == doctest::Approx(100.0 / (rate + 1.0)).epsilon(1e-9));
    CHECK(modes.all()[1].period ==
          doctest::Approx(2.0 * std::acos(-1.0) * 100.0 / rate).epsilon(1e-9));
    CHECK(modes.all()[2].time_constant ==
          doctest::Approx(100.0 / (2.0 * rate + 1.0)).epsilon(1e-9));
    for (const Mode& mode : modes.all()) {
      CHECK(sum(mode.capacities) == doctest::Approx(1.0).epsilon(1e-9));
      CHECK(sum(mode.conductances) == doctest::Approx(-1.0).epsilon(1e-8));
    }
    CHECK(share(modes.all()[1].conductances, "losses") ==
          doctest::Approx(-1.0 / (rate + 1.0)).epsilon(1e-8));
    // The swing of one tub: a quarter of the start is in each of four modes of the ring.
    const std::vector<double> one{1.0, 0.0, 0.0, 0.0};
    const std::vector<double> parts = modes.amplitudes(one, one);
    CHECK(parts[0] == doctest::Approx(0.25));
    CHECK(parts[1] == doctest::Approx(0.5));
    CHECK(parts[2] == doctest::Approx(0.25));
    const double t = 0.7 * 100.0 / rate;
    const double mine = std::exp(-t / 100.0) *
                        (0.25 + 0.5 * std::exp(-0.7) * std::cos(0.7) + 0.25 * std::exp(-1.4));
    CHECK(modes.reading(one, one, t) == doctest::Approx(mine).epsilon(1e-9));
  }
}

// A coolant twice as heavy in heat carries twice the rate, and here moves nothing else: the
// circuit's own part of a capacity flow, apart from the elements'.
TEST_CASE("the share of a capacity flow is that of its specific heat") {
  const double step = 1e-4;
  Circuit c = ring(3, 3800.0, false), up = ring(3, 3800.0 * std::exp(step), false),
          down = ring(3, 3800.0 * std::exp(-step), false);
  const Modes modes(c, settled(c), {}, {}, 3);
  const double more = std::log(Modes(up, settled(up), {}, {}, 0).all()[1].time_constant);
  const double less = std::log(Modes(down, settled(down), {}, {}, 0).all()[1].time_constant);
  CHECK(share(modes.all()[1].conductances, "coolant flow") ==
        doctest::Approx((more - less) / (2.0 * step)).epsilon(1e-6));
}

namespace {

// Gives heat to the next and takes none back. Input: itself.
struct OneWay {
  template <class T>
  struct Prepared {};
  template <class T>
  Prepared<T> prepare(const T*) const {
    return {};
  }
  template <class G, class X>
  void evaluate(const Prepared<G>&, const X* in, Promote<G, X>* out) const {
    const X given = 2.0 * (in[0] - 300.0);
    out[0] = X(-given);
    out[1] = X(given);
    out[2] = X(50.0);
  }
  void notes(const Prepared<double>&, const double*, Notes&) const {}
};

}  // namespace

// Heat that only moves on, from equal lump to equal lump: a vector is missing.
TEST_CASE("modes that coincide are answered without their sum") {
  Circuit c(0);
  for (int i = 0; i < 3; ++i) c.add_state("lump");
  for (int i = 0; i < 3; ++i) {
    c.add(adapt("lump", {{Input::Kind::state, i}},
                {{Output::Kind::heat, i},
                 {Output::Kind::heat, i == 2 ? nowhere : i + 1},
                 {Output::Kind::capacity, i}},
                {}, OneWay{}));
  }
  c.close();
  c.prepare({});
  const Modes modes(c, settled(c), {}, {}, 3);
  REQUIRE(modes.summary().usable);
  CHECK(modes.distinctness() < 1e-9);
  for (const Mode& mode : modes.all()) {
    CHECK(mode.time_constant == doctest::Approx(25.0).epsilon(1e-4));
    CHECK(mode.capacities.empty());
  }
  // (k t/C)^2/2 exp(-k t/C)
  const std::vector<double> first{1.0, 0.0, 0.0}, last{0.0, 0.0, 1.0};
  CHECK(modes.reading(last, first, 50.0) == doctest::Approx(2.0 * std::exp(-2.0)).epsilon(1e-9));
}

TEST_CASE("what stores nothing has no modes, and says so") {
  Circuit c = chain({{0.0, 20.0, 100.0, "chip"}, {2100.0, 10.0, 0.0, "loop"}});
  const Modes modes(c, settled(c), {}, {}, 2);
  CHECK_FALSE(modes.summary().usable);
  CHECK(modes.summary().reason == "singular");
  CHECK(modes.count() == 0);
  CHECK(modes.amplitudes(std::vector<double>{1.0, 0.0}, std::vector<double>{1.0, 0.0}).empty());
}
