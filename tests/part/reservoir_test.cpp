#include "libloop/part/reservoir.hpp"

#include <doctest/doctest.h>

#include "libloop/part/catalogue.hpp"
#include "libloop/part/reservoir_element.hpp"
#include "support/element.hpp"

namespace libloop {
namespace {

using testing::Alone;

struct Filled {
  Sheet reservoir{table_of("reservoir")};
  Sheet coolant{table_of("coolant")};
  Alone<ReservoirElement> alone() const {
    return {{&reservoir, &coolant}, {&reservoir, &coolant}, 7};
  }
};

const std::vector<double> at_work = {0.02, 3800.0, 310.0, 298.0};

TEST_CASE("a reservoir's ports take their loss at Re 1500, in velocity heads") {
  Filled filled;
  filled.coolant.set("kind", "water");
  const Alone<ReservoirElement> alone = filled.alone();
  const fluid::Liquid<double> water = fluid::make_liquid(fluid::LiquidKind::water, 0.0);
  const double bore = 0.008, area = 0.25 * 3.141592653589793 * bore * bore;
  const double flow = 1500.0 * area * fluid::viscosity(water, 310.0) / bore;
  const double velocity = flow / (fluid::density(water, 310.0) * area);
  CHECK(alone({flow, 4180.0, 310.0, 298.0})[0] ==
        doctest::Approx(1.5 * 0.5 * fluid::density(water, 310.0) * velocity * velocity));
}

TEST_CASE("what a reservoir does not pass on it gives to the air") {
  const Filled filled;
  const Alone<ReservoirElement> alone = filled.alone();
  for (const double flow : {-0.02, 0.0, 0.02}) {
    const std::vector<double> out = alone({flow, 3800.0, 310.0, 298.0});
    const double stream = network::carrying_flow(flow) * 3800.0;
    CHECK(out[1] == 310.0);
    CHECK(out[2] + stream * 310.0 + out[3] == doctest::Approx(0.0));
    CHECK(out[3] == doctest::Approx(0.2 * 12.0));
    CHECK(out[6] == out[3]);
  }
}

TEST_CASE("a reservoir stores the heat of its coolant and wall") {
  Filled filled;
  filled.coolant.set("kind", "water");
  const std::vector<double> out = filled.alone()({0.02, 4180.0, 298.15, 298.15});
  CHECK(out[4] == doctest::Approx(0.2e-3 * 997.05 * 4180.0).epsilon(1e-4));
  CHECK(out[5] == doctest::Approx(150.0));
}

TEST_CASE("a reservoir resists flow in either direction, with exact slopes") {
  const Filled filled;
  const Alone<ReservoirElement> alone = filled.alone();
  CHECK(testing::resists(alone, at_work, {1e-9, 1e-6, 1e-3, 0.02, 1.0}));
  CHECK(alone.worst_slope(at_work) < 1e-6);
  CHECK(alone.worst_slope({-0.02, 3800.0, 310.0, 298.0}) < 1e-6);
}

}  // namespace
}  // namespace libloop
