#include "libloop/law/screen.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "libloop/math/dual.hpp"
#include "support/published.hpp"

namespace libloop::law {
namespace {

using testing::published;

TEST_CASE("a thin screen takes what the handbook's table says") {
  const char* source = "Idelchik, Handbook of Hydraulic Resistance, thin grids (from memory)";
  const auto check = [&](const char* open, double expected) {
    published("loss of a thin screen, open share " + std::string(open), source, expected,
              screen_loss(std::stod(open)), 0.03);
  };
  check("0.1", 245.0);
  check("0.2", 51.5);
  check("0.3", 18.2);
  check("0.4", 8.25);
  check("0.5", 4.0);
  check("0.6", 2.0);
  check("0.7", 0.97);
  check("0.8", 0.42);
  check("0.9", 0.13);
}

TEST_CASE("an open face takes nothing, and the loss falls strictly with the open share") {
  CHECK(screen_loss(1.0) == 0.0);
  double before = screen_loss(0.01);
  for (double open = 0.02; open <= 1.0; open += 0.01) {
    const double loss = screen_loss(open);
    CHECK(loss < before);
    before = loss;
  }
}

TEST_CASE("the slope of a screen's loss is that of differences, and finite when all is open") {
  for (const double open : {0.05, 0.3, 0.8, 0.99}) {
    const double step = 1e-6;
    const double difference = (screen_loss(open + step) - screen_loss(open - step)) / (2.0 * step);
    CHECK(screen_loss(Dual<1>::variable(open, 0)).slope[0] ==
          doctest::Approx(difference).epsilon(1e-6));
  }
  const Gradient open = screen_loss(Gradient::variable(1.0, 2));
  CHECK(open.slope[2] == doctest::Approx(-0.707 * 0.707));
}

TEST_CASE("an orifice follows Bernoulli's law when it flows and creeps when it hardly does") {
  const double area = 0.6 * 2e-4, density = 1.2, viscosity = 1.8e-5;
  const double flow = 1e-3, velocity = flow / (density * area);
  CHECK(orifice_drop(flow, area, density, viscosity) ==
        doctest::Approx(0.5 * density * velocity * velocity).epsilon(1e-5));
  const double creep = 10.0 * viscosity * std::sqrt(area);
  CHECK(orifice_drop(1e-12, area, density, viscosity) ==
        doctest::Approx(1e-12 * creep / (2.0 * density * area * area)));
}

TEST_CASE("an orifice is odd, rises strictly and has a slope at rest") {
  const auto drop = [](const Dual<1>& flow) {
    return orifice_drop<Dual<1>>(flow, Dual<1>(1e-4), Dual<1>(1.2), Dual<1>(1.8e-5));
  };
  for (const double flow : {0.0, 1e-9, 1e-6, 1e-3, 1.0}) {
    const Dual<1> ahead = drop(Dual<1>::variable(flow, 0));
    const Dual<1> back = drop(Dual<1>::variable(-flow, 0));
    CHECK(ahead.slope[0] > 0.0);
    CHECK(back.value == -ahead.value);
    CHECK(back.slope[0] == ahead.slope[0]);
  }
}

}  // namespace
}  // namespace libloop::law
