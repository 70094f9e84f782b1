#include "libloop/law/fin.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "support/published.hpp"

namespace libloop::law {
namespace {

using testing::published;

TEST_CASE("fin efficiency") {
  const char* source = "tanh(mL)/(mL), Kays & London 1984 (from memory; recomputed)";
  published("fin m, h 50 k 200 0.1 mm, 1/m", source, 70.7107, fin_parameter(50.0, 200.0, 1e-4),
            1e-6);
  published("fin efficiency, h 50 k 200 0.1 mm L 4 mm", source, 0.974160,
            plate_fin_efficiency(50.0, 200.0, 1e-4, 4e-3), 1e-6);
  published("fin efficiency, h 100 k 200 0.1 mm L 4 mm", source, 0.949872,
            plate_fin_efficiency(100.0, 200.0, 1e-4, 4e-3), 1e-6);
  published("fin m, h 25000 k 390 0.1 mm, 1/m", source, 1132.277, fin_parameter(25e3, 390.0, 1e-4),
            1e-6);
  published("fin efficiency, h 25000 k 390 0.1 mm L 2 mm", source, 0.432160,
            fin_efficiency(fin_parameter(25e3, 390.0, 1e-4) * 2e-3), 1e-6);
}

TEST_CASE("fin efficiency is smooth down to no heat transfer") {
  const double join = std::sqrt(1e-3);
  for (const double x : {0.0, 1e-9, join * (1 - 1e-12), join * (1 + 1e-12), 0.5, 30.0}) {
    const Dual<1> eta = fin_efficiency(Dual<1>::variable(x, 0));
    const double exact = x == 0.0 ? 1.0 : std::tanh(x) / x;
    CHECK(eta.value == doctest::Approx(exact).epsilon(1e-15));
    const double step = 1e-5;
    const double difference = (fin_efficiency(x + step) - fin_efficiency(x - step)) / (2 * step);
    CHECK(eta.slope[0] == doctest::Approx(difference).epsilon(1e-8).scale(1e-2));
  }
  const Gradient eta = plate_fin_efficiency(Gradient::variable(0.0, 0), Gradient(200.0),
                                            Gradient(1e-4), Gradient(4e-3));
  CHECK(eta.value == 1.0);
  CHECK(eta.slope[0] == doctest::Approx(-2.0 * 16e-6 / (200.0 * 1e-4) / 3.0));
}

TEST_CASE("surface efficiency") {
  CHECK(surface_efficiency(0.9, 0.0) == 1.0);
  CHECK(surface_efficiency(0.9, 1.0) == doctest::Approx(0.9));
  CHECK(surface_efficiency(0.9, 0.8) == doctest::Approx(0.92));
}

}  // namespace
}  // namespace libloop::law
