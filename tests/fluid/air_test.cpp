#include "libloop/fluid/air.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "libloop/math/dual.hpp"
#include "support/published.hpp"

using namespace libloop;
using namespace libloop::fluid;
using libloop::testing::published;

namespace {

// The slope carried along against a central difference, relative to value over argument.
template <class Law>
void check_slope(Law law, double x) {
  const double h = 1e-5 * x;
  const double difference = (law(x + h) - law(x - h)) / (2 * h);
  const Dual<1> y = law(Dual<1>::variable(x, 0));
  CHECK(std::abs(y.slope[0] - difference) < 1e-8 * std::abs(y.value / x));
}

}  // namespace

TEST_CASE("air at sea level") {
  const char* standard = "U.S. Standard Atmosphere 1976, known through a transcription";
  published("air 288.15 K density", standard, 1.2250, air_density(288.15, 101325.0), 1e-5);
  published("air 288.15 K viscosity", standard, 1.7894e-5, air_viscosity(288.15), 1e-4);
  published("air 281.651 K conductivity", standard, 0.0248134, air_conductivity(281.651), 2e-6);
  const char* own = "U.S. Standard Atmosphere 1976, own evaluation";
  published("air 25 C density", own, 1.18391, air_density(298.15, 101325.0), 1e-5);
  published("air 25 C viscosity", own, 1.8372e-5, air_viscosity(298.15), 3e-5);
  published("air 25 C conductivity", own, 0.026108, air_conductivity(298.15), 3e-5);
}

TEST_CASE("air against the reference formulations") {
  const char* source = "Lemmon et al. 2000, Lemmon and Jacobsen 2004, through python3-iapws";
  published("air 300 K density", source, 1.17700, air_density(300.0, 101325.0), 5e-4);
  published("air 300 K specific heat", source, 1006.37, air_specific_heat, 1e-4);
  published("air 300 K viscosity", source, 1.85373e-5, air_viscosity(300.0), 0.006);
  published("air 300 K conductivity", source, 0.0263845, air_conductivity(300.0), 0.007);
}

TEST_CASE("air aloft") {
  const char* standard = "U.S. Standard Atmosphere 1976, known through a transcription";
  published("pressure at 2000 m", standard, 79501.0, standard_pressure(2000.0), 5e-5);
  published("density at 2000 m", standard, 1.0066, air_density(275.154, 79501.0), 1e-4);
  published("viscosity at 2000 m", standard, 1.7260e-5, air_viscosity(275.154), 5e-5);
  const double z = 6356766.0 * 1000.0 / (6356766.0 - 1000.0);  // 1000 m geopotential
  const char* own = "ISO 2533 formula, own evaluation";
  published("pressure at 1000 m geopotential", own, 89874.6, standard_pressure(z), 1e-6);
  published("density at 1000 m geopotential", own, 1.11164,
            air_density(281.65, standard_pressure(z)), 1e-5);
  CHECK(standard_pressure(0.0) == 101325.0);
}

TEST_CASE("air slopes equal differences") {
  for (double kelvin : {200.0, 300.0, 400.0}) {
    check_slope([](auto t) { return air_viscosity(t); }, kelvin);
    check_slope([](auto t) { return air_conductivity(t); }, kelvin);
    check_slope([](auto t) { return air_density(t, decltype(t)(1e5)); }, kelvin);
  }
  for (double metres : {10.0, 1000.0, 9000.0})
    check_slope([](auto z) { return standard_pressure(z); }, metres);
}
