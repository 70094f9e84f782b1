#include "libloop/evidence/heat_balance.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "evidence/log_maker.hpp"
#include "libloop/evidence/instruments.hpp"
#include "support/published.hpp"

namespace libloop {
namespace {

using testing::celsius;
using testing::LogMaker;
using testing::published;
using testing::series_of;

const fluid::Liquid<double> water = fluid::make_liquid(fluid::LiquidKind::water, 0.0);

BalanceReadings at(double load, double liters_per_minute, double cold, double warming) {
  return {.load = {load, 0.0},
          .flow = {liters_per_minute / 60000.0, 0.0},
          .hot = {celsius + cold + warming, 0.0},
          .cold = {celsius + cold, 0.0}};
}

TEST_CASE("what water carries") {
  // 992.2 kg/m3 and 4179 J/(kg K) at 40 C: 1 L/min warmed by 10 K.
  const HeatBalance b = heat_balance(at(691, 1.0, 35.0, 10.0), instruments(Bench()), water);
  published("heat carried by 1 L/min of water warmed by 10 K at 40 C, W",
            "Properties of water at 40 C: Incropera & DeWitt, table A.6 (from memory)",
            992.2 * 4179.0 / 60000.0 * 10.0, b.carried, 2e-3);
  CHECK(b.closes);
}

TEST_CASE("uncertainty of the balance, by hand, and the reading behind most of it") {
  const Instruments<double> meters = instruments(Bench());  // 5 %, 0.5 K each, 3 %
  const HeatBalance b = heat_balance(at(200, 1.5, 30.0, 2.0), meters, water);
  const double flow = 0.05 / std::sqrt(3.0), warming = 0.5 * std::sqrt(2.0) / std::sqrt(3.0) / 2.0;
  const double water_itself = 0.001 / std::sqrt(3.0);
  CHECK(b.u_carried == doctest::Approx(b.carried * std::hypot(flow, warming, water_itself)));
  CHECK(b.u_load == doctest::Approx(200 * 0.03 / std::sqrt(3.0)));
  CHECK(b.limiting == "coolant temperatures");
  CHECK(heat_balance(at(2000, 1.5, 30.0, 20.0), meters, water).limiting == "coolant flow");
  Instruments<double> better = meters;
  better.flow.value = 0.001;
  better.coolant.value = 0.001;
  CHECK(heat_balance(at(200, 1.5, 30.0, 2.0), better, water).limiting == "load");
}

TEST_CASE("a balance closes within twice its uncertainty, and else not") {
  Instruments<double> meters = instruments(Bench());
  const double carried = heat_balance(at(200, 1.5, 30.0, 2.0), meters, water).carried;
  const auto closes = [&](double load) {
    return heat_balance(at(load, 1.5, 30.0, 2.0), meters, water).closes;
  };
  const HeatBalance b = heat_balance(at(carried, 1.5, 30.0, 2.0), meters, water);
  const double u = std::hypot(b.u_carried, b.u_load);
  CHECK(closes(carried));
  CHECK(closes(carried + 1.8 * u));
  CHECK(!closes(carried + 2.4 * u));
  CHECK(!closes(carried - 2.4 * u));
}

TEST_CASE("no flow and no warming have a balance too") {
  const Instruments<double> meters = instruments(Bench());
  const HeatBalance still = heat_balance(at(0, 0, 25, 0), meters, water);
  CHECK(still.carried == 0.0);
  CHECK(still.closes);
  const HeatBalance backwards = heat_balance(at(100, 1, 25, -3), meters, water);
  CHECK(backwards.carried < 0.0);
  CHECK(!backwards.closes);
}

TEST_CASE("a mixture carries less, and is known less well") {
  const Instruments<double> meters = instruments(Bench());
  const auto glycol = fluid::make_liquid(fluid::LiquidKind::propylene_glycol, 0.4);
  const BalanceReadings r = at(200, 1.5, 30.0, 2.0);
  CHECK(heat_balance(r, meters, glycol).carried < heat_balance(r, meters, water).carried);
  const double of_glycol =
      heat_balance(r, meters, glycol).u_carried / heat_balance(r, meters, glycol).carried;
  CHECK(of_glycol >
        heat_balance(r, meters, water).u_carried / heat_balance(r, meters, water).carried);
}

TEST_CASE("a log with flow and both coolant probes has its balance told") {
  LogMaker maker{.plan = {{1200, 180, 1.0}}};
  Log log = maker.make();
  const auto fill = [&](Channel channel, double value) {
    for (double& one : series_of(log, channel).values) one = value;
  };
  fill(Channel::flow, 1.2 / 60000.0);
  fill(Channel::coolant_cold, celsius + 31.0);
  fill(Channel::coolant_hot, celsius + 33.15);
  const Reduction good = reduce(log, instruments(Bench()));
  REQUIRE(good.points.at(0).balance);
  CHECK(good.points[0].balance->closes);
  CHECK(good.points[0].balance->load == doctest::Approx(180).epsilon(0.01));
  fill(Channel::flow, 0.5 / 60000.0);
  const Reduction bad = reduce(log, instruments(Bench()));
  REQUIRE(bad.points.at(0).balance);
  CHECK(!bad.points[0].balance->closes);
  bool told = false;
  for (const std::string& note : bad.points[0].notes) {
    told = told || note.find("does not close") != std::string::npos;
  }
  CHECK(told);
}

}  // namespace
}  // namespace libloop
