// Fans and pumps as parts: their share of the duty's speed, curves that rise, what a fan
// before a core recovers, and silence at standstill.
#include <doctest/doctest.h>

#include <cmath>

#include "libloop/model/noise_source.hpp"
#include "libloop/part/catalogue.hpp"
#include "libloop/part/fan_element.hpp"
#include "libloop/part/pump_element.hpp"
#include "support/element.hpp"

namespace libloop {
namespace {

using testing::Alone;

struct Machines {
  Sheet fan{table_of("fan"), "rear"};
  Sheet pump{table_of("pump"), "spare"};
  Sheet coolant{table_of("coolant")};
  Sheet bench{table_of("bench")};
  Sheet conditions{conditions_table()};

  Alone<FanElement> fan_alone(bool before_core = false) const {
    return {{&fan, &conditions, 0.12, before_core}, {&fan, &conditions}, 3};
  }
  Alone<PumpElement> pump_alone() const {
    return {{&pump, &coolant, &conditions}, {&pump, &coolant, &conditions}, 6};
  }
};

const std::vector<double> fan_at_work = {0.02, 300.0};
const std::vector<double> pump_at_work = {0.02, 3800.0, 310.0};

TEST_CASE("half the share is half the speed of the duty") {
  Machines shared, slowed;
  shared.fan.set("speed_share", "0.5");
  shared.pump.set("speed_share", "0.5");
  slowed.conditions.set("fan", "0.5");
  slowed.conditions.set("pump", "0.5");
  CHECK(shared.fan_alone()(fan_at_work) == slowed.fan_alone()(fan_at_work));
  CHECK(shared.pump_alone()(pump_at_work) == slowed.pump_alone()(pump_at_work));
}

TEST_CASE("a machine of no share stands still, silent and named") {
  Machines machines;
  machines.fan.set("speed_share", "0");
  machines.pump.set("speed_share", "0");
  CHECK(machines.fan_alone()(fan_at_work)[0] > 0.0);
  CHECK(machines.pump_alone()(pump_at_work)[0] > 0.0);
  CHECK(machines.pump_alone()(pump_at_work)[5] == 0.0);
  const Alone<FanNoise> noise({&machines.fan, &machines.bench, &machines.conditions},
                              {&machines.fan, &machines.bench, &machines.conditions}, 1);
  CHECK(noise({})[0] < 1e-30);
  CHECK(noise.worst_slope({}) < 1e-6);

  const auto note_of = [](const auto& law, std::initializer_list<const Sheet*> sheets,
                          const std::vector<double>& in) {
    std::vector<double> q;
    for (const Sheet* sheet : sheets) {
      for (const std::size_t row : sheet->continuous()) {
        q.push_back(sheet->entry(row).range.typical);
      }
    }
    Notes notes;
    law.notes(law.template prepare<double>(q.data()), in.data(), notes);
    REQUIRE(notes.all().size() == 1);
    return notes.all().front();
  };
  const Note fan = note_of(FanElement{&machines.fan, &machines.conditions},
                           {&machines.fan, &machines.conditions}, fan_at_work);
  CHECK(fan.code == "fan_stopped");
  CHECK(fan.part == "fan.rear");
  CHECK(fan.text.rfind("fan.rear stands still", 0) == 0);
  const Note pump =
      note_of(PumpElement{&machines.pump, &machines.coolant, &machines.conditions},
              {&machines.pump, &machines.coolant, &machines.conditions}, pump_at_work);
  CHECK(pump.code == "pump_stopped");
  CHECK(pump.part == "pump.spare");
}

TEST_CASE("a fan recovers only what it blows into a core") {
  const Machines machines;
  const Alone<FanElement> before = machines.fan_alone(true), behind = machines.fan_alone(false);
  CHECK(before(fan_at_work)[0] < behind(fan_at_work)[0]);
  CHECK(before({-0.02, 300.0})[0] == doctest::Approx(behind({-0.02, 300.0})[0]).epsilon(1e-12));
  CHECK(before({0.0, 300.0})[0] == behind({0.0, 300.0})[0]);
  CHECK(before.worst_slope(fan_at_work) < 1e-6);
  // Pushed back, a fan takes ever more pressure.
  double drop = before({0.0, 300.0})[0];
  for (const double flow : {-0.001, -0.01, -0.03, -0.1, -1.0}) {
    const double back = before({flow, 300.0})[0];
    CHECK(back < drop);
    drop = back;
  }
}

TEST_CASE("a fan with a measured stall dip passes through its points") {
  Machines machines;
  const Points points = {{0.0, 22.0}, {0.01, 16.0}, {0.015, 17.5}, {0.03, 0.0}};
  machines.fan.set_curve("curve", points);
  const Alone<FanElement> alone = machines.fan_alone();
  const double density = fluid::air_density(300.0, fluid::standard_pressure(0.0));
  for (const auto& [flow, rise] : points) {
    CHECK(alone({flow * density, 300.0})[0] ==
          doctest::Approx(-rise * density / rated_air_density).epsilon(1e-7).scale(10.0));
  }
  CHECK(alone.worst_slope({0.0125 * density, 300.0}) < 1e-6);
}

TEST_CASE("a pump that droops passes through its points and resists in reverse") {
  Machines machines;
  machines.pump.set_curve("curve", {{0.0, 1.0}, {2e-5, 1.1}, {5e-5, 0.0}});
  const Alone<PumpElement> alone = machines.pump_alone();
  const fluid::Liquid<double> liquid = fluid::make_liquid(fluid::LiquidKind::propylene_glycol, 0.3);
  const double density = fluid::density(liquid, 310.0);
  CHECK(alone({2e-5 * density, 3800.0, 310.0})[0] ==
        doctest::Approx(-1.1 * density * 9.80665).epsilon(1e-7));
  for (const double flow : {-1e-3, -0.01, -0.1, -1.0}) {
    CHECK(alone({flow, 3800.0, 310.0})[0] < 0.0);  // the drop follows the reversed flow
  }
  CHECK(alone({-10.0, 3800.0, 310.0})[0] < alone({-1.0, 3800.0, 310.0})[0]);
}

}  // namespace
}  // namespace libloop
