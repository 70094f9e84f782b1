// Loops of any shape: what the arrangement of parts must and must not change.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "libloop/fluid/air.hpp"
#include "support/coolers.hpp"

using namespace libloop;
using libloop::testing::all_cases;
using libloop::testing::Case;

namespace {

constexpr Duty usual{.load = 180.0, .ambient = 296.15};

OperatingPoint point(const Cooler& cooler, const Bench& bench, const Duty& duty = usual) {
  const OperatingPoint p = Solver(Model(cooler, bench)).solve(duty);
  CAPTURE(p.summary.why);
  REQUIRE(p.summary.usable);
  return p;
}

const PartPoint& part(const OperatingPoint& p, const std::string& name, bool air = false) {
  for (const PartPoint& one : p.parts) {
    if (one.name == name && one.air == air) return one;
  }
  FAIL("no part called " << name);
  return p.parts.front();
}

bool has_note(const OperatingPoint& p, const char* code) {
  return std::any_of(p.notes.begin(), p.notes.end(), [&](const Note& n) { return n.code == code; });
}

Cooler sealed(const char* size_class = "240", int fans = 2) {
  Cooler cooler;
  cooler.set("radiator.class", size_class);
  cooler.add("fan").set_count("count", fans);
  return cooler;
}

// `count` sealed loops side by side whose pumps draw from one place and whose hoses meet
// in it: by symmetry each is a loop of its own.
Cooler side_by_side(int count) {
  Cooler cooler;
  for (const char* kind : {"radiator", "pump", "tube", "cold_plate"}) cooler.clear(kind);
  for (int i = 0; i < count; ++i) {
    const std::string name = std::string("n") + static_cast<char>('a' + i);
    cooler.add("radiator", name).set("class", "240");
    cooler.add("fan", name).set_count("count", 2);
    cooler.add("pump", name);
    cooler.add("tube", name).set_count("count", 2);
    cooler.add("cold_plate", name);
    cooler.network.join.push_back({"radiator." + name + ".out", "tube." + name + ".1.in"});
    cooler.network.join.push_back({"tube." + name + ".1.out", "cool"});
    cooler.network.join.push_back({"cool", "pump." + name + ".in"});
    cooler.network.join.push_back({"pump." + name + ".out", "cold_plate." + name + ".in"});
    cooler.network.join.push_back({"cold_plate." + name + ".out", "tube." + name + ".2.in"});
    cooler.network.join.push_back({"tube." + name + ".2.out", "warm"});
    cooler.network.join.push_back({"warm", "radiator." + name + ".in"});
    cooler.network.air.push_back({"outside", {{"fan." + name}, {"radiator." + name}}, "outside"});
  }
  return cooler;
}

Bench bench_of(int chips) {
  Bench bench;
  bench.seats.clear();
  for (int i = 0; i < chips; ++i) {
    bench.seats.emplace_back(std::string("n") + static_cast<char>('a' + i));
  }
  return bench;
}

// The network that a sealed loop is, written out.
Cooler spelled_out(const char* radiator, const char* hose) {
  Cooler cooler;
  cooler.clear("radiator");
  cooler.clear("tube");
  cooler.add("radiator", radiator).set("class", "240");
  cooler.add("tube", hose).set_count("count", 2);
  cooler.add("fan").set_count("count", 2);
  const std::string r = std::string("radiator.") + radiator, t = std::string("tube.") + hose;
  cooler.network.join = {{t + ".2.out", r + ".in"},
                         {"pump.out", "cold_plate.in"},
                         {t + ".2.in", "cold_plate.out"},
                         {t + ".1.in", r + ".out"},
                         {"pump.in", t + ".1.out"}};
  cooler.network.air = {{"outside", {{"fan"}, {r}}, "outside"}};
  return cooler;
}

// `radiators` of one class in series in the coolant, each with its own fans and fresh air.
Cooler in_series(int radiators) {
  Cooler cooler;
  for (const char* kind : {"radiator", "tube"}) cooler.clear(kind);
  cooler.add("tube", "hose").set_count("count", 2);
  cooler.network.join = {{"pump.out", "cold_plate.in"},
                         {"cold_plate.out", "tube.hose.1.in"},
                         {"tube.hose.2.out", "pump.in"}};
  std::string last = "tube.hose.1.out";
  for (int i = 0; i < radiators; ++i) {
    const std::string name = std::string("n") + static_cast<char>('a' + i);
    cooler.add("radiator", name).set("class", "240");
    cooler.add("fan", name).set_count("count", 2);
    cooler.network.join.push_back({last, "radiator." + name + ".in"});
    cooler.network.air.push_back({"outside", {{"fan." + name}, {"radiator." + name}}, "outside"});
    last = "radiator." + name + ".out";
  }
  cooler.network.join.push_back({last, "tube.hose.2.in"});
  return cooler;
}

// Two cores in one stream of air; the warm coolant comes first to the front or the back.
Cooler stacked(bool front_first) {
  Cooler cooler;
  for (const char* kind : {"radiator", "tube"}) cooler.clear(kind);
  cooler.add("tube", "hose").set_count("count", 2);
  for (const char* name : {"front", "back"}) cooler.add("radiator", name).set("class", "240");
  cooler.add("fan").set_count("count", 2);
  const std::string one = front_first ? "radiator.front" : "radiator.back";
  const std::string two = front_first ? "radiator.back" : "radiator.front";
  cooler.network.join = {{"pump.out", "cold_plate.in"},    {"cold_plate.out", "tube.hose.1.in"},
                         {"tube.hose.1.out", one + ".in"}, {one + ".out", two + ".in"},
                         {two + ".out", "tube.hose.2.in"}, {"tube.hose.2.out", "pump.in"}};
  cooler.network.air = {{"outside", {{"fan"}, {"radiator.front"}, {"radiator.back"}}, "outside"}};
  return cooler;
}

}  // namespace

TEST_CASE("flow, heat and pressure balance at every place of every loop") {
  for (const Case& c : all_cases()) {
    CAPTURE(c.name);
    const OperatingPoint p = point(c.cooler, c.bench);
    std::map<std::pair<bool, std::string>, double> balance, traffic, pressure;
    for (const PartPoint& one : p.parts) {
      balance[{one.air, one.from}] -= one.flow;
      balance[{one.air, one.to}] += one.flow;
      traffic[{one.air, one.from}] += std::abs(one.flow);
      traffic[{one.air, one.to}] += std::abs(one.flow);
      pressure[{one.air, one.from}] = one.pressure;
    }
    for (const auto& [place, sum] : balance) {
      CAPTURE(place.second);
      CHECK(std::abs(sum) <= 1e-12 * std::max(traffic[place], 1e-6));
    }
    for (const PartPoint& one : p.parts) {
      CAPTURE(one.name);
      const double to =
          pressure.count({one.air, one.to}) ? pressure[{one.air, one.to}] : one.pressure - one.drop;
      CHECK(one.pressure - one.drop == doctest::Approx(to).epsilon(1e-8).scale(1.0));
    }
    // Air carries outside what the cores give it and what else warms a case, less what
    // goes through its walls.
    double carried = 0.0, given = 0.0;
    for (const PartPoint& one : p.parts) {
      const bool out = one.flow >= 0.0 ? one.to == "outside" : one.from == "outside";
      if (!one.air) continue;
      const double capacity = fluid::air_specific_heat * std::abs(one.flow);
      const bool in = one.flow >= 0.0 ? one.from == "outside" : one.to == "outside";
      if (out) carried += capacity * one.leaving;
      if (in) carried -= capacity * one.entering;
    }
    for (const RadiatorPoint& radiator : p.radiators) given += radiator.heat;
    if (!c.cooler.all("case").empty()) {
      const Sheet& box = c.cooler.the("case");
      double inside = 0.0;
      for (const PartPoint& one : p.parts) {
        if (one.air && one.flow > 0.0 && one.from == "case") inside = one.entering;
      }
      given += box.typical("own_heat");
      carried += box.typical("wall_conductance") * (inside - usual.ambient);
    }
    CHECK(carried == doctest::Approx(given).epsilon(1e-8));
    CHECK(p.energy_residual < 1e-9);
    for (const ChipPoint& chip : p.chips) {
      double sum = 0.0;
      for (const double kelvin : chip.budget) sum += kelvin;
      CHECK(sum == doctest::Approx(chip.rise).epsilon(1e-10));
    }
  }
}

TEST_CASE("a sealed loop spelled out as a network, in any order and with any names, is the same") {
  const OperatingPoint usual_loop = point(sealed(), Bench());
  for (const auto& [radiator, hose] : {std::pair{"top", "hose"}, std::pair{"a", "z"}}) {
    const OperatingPoint p = point(spelled_out(radiator, hose), Bench());
    for (const AnswerRow& row : answer_rows) {
      CHECK(p[row.answer] == doctest::Approx(usual_loop[row.answer]).epsilon(1e-10));
    }
  }
}

TEST_CASE("identical loops in parallel behave as one") {
  const OperatingPoint alone = point(sealed(), Bench());
  for (const int count : {2, 3}) {
    const OperatingPoint p = point(side_by_side(count), bench_of(count));
    REQUIRE(p.chips.size() == static_cast<std::size_t>(count));
    for (const ChipPoint& chip : p.chips) {
      CHECK(chip.rise == doctest::Approx(alone[Answer::rise]).epsilon(1e-9));
    }
    for (const RadiatorPoint& radiator : p.radiators) {
      CHECK(radiator.conductance == doctest::Approx(alone[Answer::conductance]).epsilon(1e-9));
    }
    CHECK(p[Answer::air_flow] == doctest::Approx(count * alone[Answer::air_flow]).epsilon(1e-9));
  }
}

TEST_CASE("a hose cut in two behaves as one") {
  // Half the length and half the fittings each; heat loss goes with length.
  Cooler one = spelled_out("top", "hose");
  Cooler two = one;
  two.add("tube", "half").set_count("count", 2);
  two.set("tube.half.length", "0.2 m");
  two.set("tube.half.minor_loss", "6");
  one.set("tube.hose.length", "0.4 m");
  one.set("tube.hose.minor_loss", "12");
  two.set("tube.hose.length", "0.4 m");
  two.set("tube.hose.minor_loss", "12");
  two.clear("tube");
  two.add("tube", "hose");
  two.add("tube", "half").set_count("count", 2);
  two.set("tube.hose.length", "0.4 m");
  two.set("tube.hose.minor_loss", "12");
  two.set("tube.half.length", "0.2 m");
  two.set("tube.half.minor_loss", "6");
  two.network.join = {{"tube.half.2.out", "radiator.top.in"}, {"tube.half.1.out", "tube.half.2.in"},
                      {"pump.out", "cold_plate.in"},          {"tube.half.1.in", "cold_plate.out"},
                      {"tube.hose.in", "radiator.top.out"},   {"pump.in", "tube.hose.out"}};
  const OperatingPoint a = point(one, Bench()), b = point(two, Bench());
  // Viscosity is taken at the mean of each piece: not to the last digit.
  CHECK(b[Answer::rise] == doctest::Approx(a[Answer::rise]).epsilon(1e-6));
  CHECK(b[Answer::coolant_flow] == doctest::Approx(a[Answer::coolant_flow]).epsilon(1e-5));
}

// By hand. One radiator takes the coolant from T_h to T_c with (T_c - T_a)/(T_h - T_a) =
// exp(-K/C); a second one alike multiplies the ratio by itself. With the heat q carried by
// C = q/(T_h - T_c), the coldest coolant stands over the air by q/C e/(1 - e).
TEST_CASE("two radiators in series on equal air beat one by what a hand calculation gives") {
  Bench bench;
  bench.set("board.socket_conductance", "0.01 W/K");
  const auto cold = [&](int radiators) {
    Cooler cooler = in_series(radiators);
    // A strong pump, so that the second core's resistance hardly lowers the flow; no other
    // way for the heat.
    cooler.set("pump.shutoff_head", "6 m");
    cooler.set("radiator.passive_conductance", "0.01 W/K");
    cooler.set("tube.heat_loss", "0.001 W/(m K)");
    return point(cooler, bench);
  };
  const OperatingPoint one = cold(1), two = cold(2);
  const auto over_air = [&](const PartPoint& p, double kelvin) {
    static_cast<void>(p);
    return kelvin - usual.ambient;
  };
  const PartPoint& first = part(one, "radiator.na");
  const double hot = over_air(first, first.entering), cool = over_air(first, first.leaving);
  const double ratio = cool / hot;
  const double span = hot - cool;  // q/C, nearly the same with two
  const PartPoint& second = part(two, "radiator.nb");
  const double span_of_two = part(two, "radiator.na").entering - second.leaving;
  const double by_hand_one = span * ratio / (1.0 - ratio);
  const double by_hand_two = span_of_two * ratio * ratio / (1.0 - ratio * ratio);
  CHECK(cool == doctest::Approx(by_hand_one).epsilon(1e-9));
  const double gain = cool - over_air(second, second.leaving);
  CHECK(gain == doctest::Approx(by_hand_one - by_hand_two).epsilon(0.03));
  MESSAGE("two radiators gain " << gain << " K, by hand " << by_hand_one - by_hand_two << " K");
  // What the chip gains is that and the span's change, less nothing else of note.
  CHECK(one[Answer::rise] - two[Answer::rise] == doctest::Approx(gain).epsilon(0.25));
}

// By hand, both orders as cells of one exchanger: with air capacity C_a and coolant capacity
// C, each core of conductance K to the air that enters it, counterflow beats parallel flow.
TEST_CASE("the order of coolant through stacked cores matters as far as the exchanger says") {
  // No other way for the heat, and no air drawn twice.
  const auto bare = [](bool front_first) {
    Cooler cooler = stacked(front_first);
    cooler.set("radiator.recirculation", "0.0001");
    cooler.set("radiator.passive_conductance", "0.01 W/K");
    cooler.set("tube.heat_loss", "0.001 W/(m K)");
    return cooler;
  };
  const OperatingPoint counter = point(bare(false), Bench());
  const OperatingPoint along = point(bare(true), Bench());
  CHECK(counter[Answer::rise] < along[Answer::rise]);
  // One core each: (T_out - T_air)/(T_in - T_air) = e, so with air warmed by C/C_a of the
  // coolant's cooling; x = coolant entering first core over outside air.
  const auto by_hand = [](double e, double r, bool counterflow) {
    // Coolant falls from 1 to t1 to t2; air rises from 0 to a1 to a2; all over the span.
    double low = 0.0, high = 1.0;
    for (int i = 0; i < 200; ++i) {
      const double first_air = 0.5 * (low + high);  // air at the core met first by coolant
      const double t1 = first_air + (1.0 - first_air) * e;
      const double second_air = counterflow ? 0.0 : r * (1.0 - t1);
      const double t2 = second_air + (t1 - second_air) * e;
      const double expected = counterflow ? r * (t1 - t2) : 0.0;
      (expected > first_air ? low : high) = first_air;
      if (!counterflow) {
        const double s1 = e;  // first core meets outside air
        const double s2 = r * (1.0 - s1) + (s1 - r * (1.0 - s1)) * e;
        return s2;
      }
      if (high - low < 1e-14) return t2;
    }
    return 0.0;
  };
  // From the solved point: e and r of the core that meets outside air.
  const PartPoint& back = part(along, "radiator.back");
  const PartPoint& front = part(along, "radiator.front");
  const double e = (front.leaving - usual.ambient) / (front.entering - usual.ambient);
  double air = 0.0;
  for (const PartPoint& p : along.parts) {
    if (p.air && p.name.rfind("fan", 0) == 0) air += p.flow * fluid::air_specific_heat;
  }
  const double coolant = along.radiators[0].heat / (front.entering - front.leaving);
  const double r = coolant / air;
  const double span_along = front.entering - back.leaving;
  const double t_along = by_hand(e, r, false), t_counter = by_hand(e, r, true);
  const double cold_along = span_along * t_along / (1.0 - t_along);
  const double cold_counter = span_along * t_counter / (1.0 - t_counter);
  CHECK(back.leaving - usual.ambient == doctest::Approx(cold_along).epsilon(0.02));
  const double gain = along[Answer::rise] - counter[Answer::rise];
  MESSAGE("counterflow gains " << gain << " K, by hand " << cold_along - cold_counter << " K");
  CHECK(gain == doctest::Approx(cold_along - cold_counter).epsilon(0.15));
}

TEST_CASE("fans on both sides move more air than on one, less than twice, and cool better") {
  Cooler push = sealed("280");
  Cooler both = push;
  both.add("fan", "back").set_count("count", 2);
  both.set("fan.back.side", "pull");
  const OperatingPoint one = point(push, Bench()), two = point(both, Bench());
  CHECK(two[Answer::air_flow] > 1.05 * one[Answer::air_flow]);
  CHECK(two[Answer::air_flow] < 2.0 * one[Answer::air_flow]);
  CHECK(two[Answer::rise] < one[Answer::rise]);
  // Two equal rows: 3 dB more of the fans.
  CHECK(two[Answer::noise] > one[Answer::noise] + 2.0);
  CHECK(two[Answer::noise] < one[Answer::noise] + 3.02);
}

TEST_CASE("a stopped fan under a shroud blows back and costs its neighbours air") {
  Cooler cooler;
  cooler.set("radiator.class", "360");
  cooler.add("fan", "on").set_count("count", 2);
  cooler.add("fan", "off");
  cooler.add("shroud");
  cooler.network.air = {{"outside", {{"fan.on", "fan.off"}, {"shroud"}, {"radiator"}}, "outside"}};
  const OperatingPoint all = point(cooler, Bench());
  cooler.set("fan.off.speed_share", "0");
  const OperatingPoint stopped = point(cooler, Bench());
  CHECK(part(stopped, "fan.off", true).flow < 0.0);
  CHECK(part(stopped, "fan.on.1", true).flow > part(all, "fan.on.1", true).flow);
  CHECK(stopped[Answer::air_flow] < all[Answer::air_flow]);
  CHECK(has_note(stopped, "fan_driven_back"));
  CHECK(stopped[Answer::rise] > all[Answer::rise]);
}

TEST_CASE("a case warms what draws from it, and a mesh costs air") {
  Cooler open = sealed("240");
  Cooler cased = open;
  cased.add("opening", "mesh").set("area", "150 cm2");
  cased.add("opening", "back").set("area", "150 cm2");
  cased.add("case").set("own_heat", "0 W");
  cased.network.air = {{"outside", {{"opening.mesh"}}, "case"},
                       {"case", {{"fan"}, {"radiator"}}, "case"},
                       {"case", {{"opening.back"}}, "outside"}};
  const OperatingPoint free = point(open, Bench());
  // Nothing drives air through the openings: the case would only lose heat by its walls.
  const OperatingPoint shut = point(cased, Bench());
  CHECK(shut[Answer::rise] > free[Answer::rise] + 5.0);
  cased.network.air[1] = {"outside", {{"opening.mesh"}, {"fan"}, {"radiator"}}, "case"};
  cased.network.air.erase(cased.network.air.begin());
  const OperatingPoint blown = point(cased, Bench());
  CHECK(blown[Answer::air_flow] < free[Answer::air_flow]);
  CHECK(blown[Answer::rise] > free[Answer::rise]);
  CHECK(blown[Answer::rise] < shut[Answer::rise]);
}

TEST_CASE("contradicting pumps, stopped pumps and dead ends are told by name") {
  Cooler cooler = spelled_out("top", "hose");
  cooler.add("pump", "second");
  cooler.network.join = {
      {"tube.hose.2.out", "radiator.top.in"}, {"pump.1.out", "pump.second.in"},
      {"pump.second.out", "cold_plate.in"},   {"tube.hose.2.in", "cold_plate.out"},
      {"tube.hose.1.in", "radiator.top.out"}, {"pump.1.in", "tube.hose.1.out"}};
  const OperatingPoint both = point(cooler, Bench());
  const OperatingPoint alone = point(sealed(), Bench());
  CHECK(both[Answer::coolant_flow] > alone[Answer::coolant_flow]);

  // The second the wrong way round, and weaker.
  Cooler against = cooler;
  against.network.join[1] = {"pump.1.out", "pump.second.out"};
  against.network.join[2] = {"pump.second.in", "cold_plate.in"};
  against.set("pump.second.speed_share", "60 %");
  const OperatingPoint back = point(against, Bench());
  CHECK(has_note(back, "pump_driven_back"));
  CHECK(back[Answer::coolant_flow] < alone[Answer::coolant_flow]);

  // Equal ones hold each other.
  against.set("pump.second.speed_share", "100 %");
  const OperatingPoint held = Solver(Model(against, Bench())).solve(usual);
  CHECK(held.summary.usable);
  CHECK(has_note(held, "pump_blocked"));

  // Side by side, one the wrong way round: they push coolant round each other, and what they
  // heat it by has no way out.
  Cooler ring = cooler;
  ring.network.join[1] = {"pump.1.out", "pump.second.in"};
  ring.network.join[2] = {"pump.second.in", "cold_plate.in"};
  ring.network.join.push_back({"pump.second.out", "pump.1.in"});
  const OperatingPoint round = Solver(Model(ring, Bench())).solve(usual);
  CHECK(!round.summary.usable);
  CHECK(round.summary.reason == "heat_stays");
  CHECK(round.summary.why.find("pump") != std::string::npos);

  // Side by side with one that stands still: coolant flows back through it.
  Cooler beside = cooler;
  beside.network.join[1] = {"pump.1.out", "pump.second.out"};
  beside.network.join[2] = {"pump.second.out", "cold_plate.in"};
  beside.network.join.push_back({"pump.second.in", "pump.1.in"});
  beside.set("pump.second.speed_share", "0");
  const OperatingPoint leaking = point(beside, Bench());
  CHECK(part(leaking, "pump.second").flow < 0.0);
  CHECK(leaking[Answer::coolant_flow] < alone[Answer::coolant_flow]);

  // A hose between two rings that nothing drives coolant through.
  Cooler bridge = spelled_out("top", "hose");
  bridge.add("tube", "link");
  bridge.add("tube", "ring").set_count("count", 2);
  bridge.network.join.push_back({"pump.in", "tube.link.in"});
  bridge.network.join.push_back({"tube.link.out", "tube.ring.1.in", "tube.ring.2.out"});
  bridge.network.join.push_back({"tube.ring.1.out", "tube.ring.2.in"});
  const OperatingPoint hanging = point(bridge, Bench());
  CHECK(has_note(hanging, "coolant_stands"));
  CHECK(hanging[Answer::rise] == doctest::Approx(alone[Answer::rise]).epsilon(1e-3));
}

TEST_CASE("chips with loads of their own: each has its budget, power adds up") {
  Bench bench = bench_of(2);
  bench.set("chip.nb.load", "90 W");
  const Cooler cooler = side_by_side(2);
  const OperatingPoint p = point(cooler, bench);
  REQUIRE(p.chips.size() == 2);
  CHECK(p.chips[0].load == doctest::Approx(180.0));
  CHECK(p.chips[1].load == doctest::Approx(90.0));
  CHECK(p.load == doctest::Approx(270.0));
  CHECK(p.chips[1].rise < p.chips[0].rise);
}

TEST_CASE("a plate that fits no chip, or two on one, are told") {
  CHECK_THROWS_AS(Model(side_by_side(2), bench_of(1)), InputError);
  CHECK_THROWS_AS(Model(side_by_side(2), Bench()), InputError);
  // A chip without a plate takes no part.
  Cooler one = sealed();
  one.clear("cold_plate");
  one.add("cold_plate", "nb");
  Bench bench = bench_of(2);
  const Model model(one, bench);
  for (const Quantity& q : model.quantities()) CHECK(q.name.find(".na.") == std::string::npos);
}

TEST_CASE("a fan whose curve dips below the core's drop has two stable points, and both are told") {
  Cooler cooler = sealed("240", 2);
  // Stalls between 10 and 45 m3/h; what the core takes cuts this curve three times.
  const double per_hour = 1.0 / 3600.0;
  Sheet& fan = cooler.the("fan");
  fan.set_curve("curve", {{0.0, 30.0},
                          {8.0 * per_hour, 16.0},
                          {18.0 * per_hour, 3.0},
                          {35.0 * per_hour, 4.0},
                          {50.0 * per_hour, 19.0},
                          {80.0 * per_hour, 13.0},
                          {110.0 * per_hour, 0.0}});
  cooler.set("fan.flow_factor", "1");
  const OperatingPoint p = point(cooler, Bench());
  REQUIRE(has_note(p, "several_points"));
  // Told is the one beyond the dip.
  CHECK(p[Answer::air_flow] > 2 * 50.0 * per_hour);
  for (const Note& n : p.notes) {
    if (n.code == "several_points") CHECK(n.text.find("from rest") != std::string::npos);
  }
  // A curve that falls all the way has one, and nothing is said.
  CHECK(!has_note(point(sealed("240", 2), Bench()), "several_points"));
}

// Two fans with dipped curves blow into one space: either of them may stall. Which point is
// told must not depend on the order in which paths are listed.
TEST_CASE("fans that may stall side by side: the same point is told in any order") {
  const auto per_hour = [](Points points) {
    for (auto& [flow, rise] : points) flow /= 3600.0;
    return points;
  };
  const auto made = [&](const char* area, bool turned) {
    Cooler cooler;
    cooler.set("radiator.class", "240");
    cooler.add("fan", "a")
        .set_curve("curve", per_hour({{0.0, 30.0}, {30.0, 12.0}, {60.0, 22.0}, {110.0, 0.0}}));
    cooler.add("fan", "b")
        .set_curve("curve", per_hour({{0.0, 26.0}, {25.0, 10.0}, {50.0, 19.0}, {100.0, 0.0}}));
    cooler.add("opening").set("area", area);
    cooler.set("opening.open_share", "100 %");
    cooler.network.air = {{"outside", {{turned ? "fan.b" : "fan.a"}}, "space"},
                          {"outside", {{turned ? "fan.a" : "fan.b"}}, "space"},
                          {"space", {{"radiator"}, {"opening"}}, "outside"}};
    return cooler;
  };
  bool several = false;
  for (const char* area : {"30 cm2", "40 cm2", "60 cm2", "90 cm2"}) {
    CAPTURE(area);
    const OperatingPoint one = point(made(area, false), Bench());
    const OperatingPoint two = point(made(area, true), Bench());
    for (const AnswerRow& row : answer_rows) {
      CHECK(two[row.answer] == doctest::Approx(one[row.answer]).epsilon(1e-7));
    }
    for (const char* fan : {"fan.a", "fan.b"}) {
      CHECK(part(two, fan, true).flow == doctest::Approx(part(one, fan, true).flow).epsilon(1e-6));
    }
    CHECK(has_note(one, "several_points") == has_note(two, "several_points"));
    several = several || has_note(one, "several_points");
  }
  CHECK(several);
}

TEST_CASE("a pump that droops at shut-off still has its one point on the falling side") {
  Cooler cooler = sealed();
  cooler.set("pump.curve_shape", "-0.4");
  const OperatingPoint p = point(cooler, Bench());
  CHECK(p[Answer::coolant_flow] > 0.0);
  CHECK(p.summary.reason == "converged");
}
