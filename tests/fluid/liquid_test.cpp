#include "libloop/fluid/liquid.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <string>

#include "support/published.hpp"

using namespace libloop;
using namespace libloop::fluid;
using libloop::testing::published;

namespace {

constexpr double ice = 273.15;

struct State {
  LiquidKind kind;
  double fraction;
  double kelvin;
  const char* name;
};

// density, specific heat, conductivity, viscosity
using Values = std::array<double, 4>;

Values values(const State& at) {
  const Liquid<double> liquid = make_liquid(at.kind, at.fraction);
  return {density(liquid, at.kelvin), specific_heat(liquid, at.kelvin),
          conductivity(liquid, at.kelvin), viscosity(liquid, at.kelvin)};
}

void check_all(const State& at, const char* source, const Values& expected,
               const Values& tolerance) {
  const char* names[] = {"density", "specific heat", "conductivity", "viscosity"};
  const Values got = values(at);
  for (std::size_t i = 0; i < 4; ++i)
    published(std::string(at.name) + " " + names[i], source, expected[i], got[i], tolerance[i]);
}

void check_all(const State& at, const char* source, const Values& expected, double tolerance) {
  check_all(at, source, expected, {tolerance, tolerance, tolerance, tolerance});
}

constexpr auto water = LiquidKind::water;
constexpr auto propylene = LiquidKind::propylene_glycol;
constexpr auto ethylene = LiquidKind::ethylene_glycol;

}  // namespace

TEST_CASE("water reproduces the check values of its release") {
  const char* table = "IAPWS SR6-08(2011) Table 8, known through a transcription";
  check_all({water, 0, 260.0, "water 260 K"}, table,
            {997.068360, 4300.17472, 0.515628010, 3.05836075e-3}, 1e-8);
  check_all({water, 0, 298.15, "water 298.15 K"}, table,
            {997.047013, 4181.44618, 0.606502308, 8.89996774e-4}, 1e-8);
  const char* iapws = "python3-iapws, SR6-08(2011)";
  check_all({water, 0, 293.15, "water 20 C"}, iapws,
            {998.206546, 4184.18908, 0.598005, 1.001567e-3}, 1e-6);
  check_all({water, 0, 313.15, "water 40 C"}, iapws,
            {992.215763, 4179.35632, 0.628480, 6.527335e-4}, 1e-6);
}

TEST_CASE("glycols reproduce their polynomials") {
  const char* source = "Melinder 2010, polynomial known through a transcription, own evaluation";
  check_all({ethylene, 0.31, ice + 20, "ethylene glycol 31 % 20 C"}, source,
            {1039.44, 3699.0, 0.4608, 2.2241e-3}, 1e-4);
  check_all({ethylene, 0.21, ice + 40, "ethylene glycol 21 % 40 C"}, source,
            {1017.62, 3918.3, 0.5243, 1.0377e-3}, 1e-4);
  check_all({propylene, 0.32, ice + 20, "propylene glycol 32 % 20 C"}, source,
            {1025.56, 3829.4, 0.4353, 3.2062e-3}, 1e-4);
  check_all({propylene, 0.22, ice + 40, "propylene glycol 22 % 40 C"}, source,
            {1007.78, 3999.8, 0.5016, 1.2388e-3}, 1e-4);
}

TEST_CASE("glycols agree with an independent table") {
  const char* source = "ASHRAE Fundamentals 2001, known through a transcription";
  const Values sound = {0.01, 0.02, 0.03, 0.08};
  check_all({ethylene, 0.324, ice + 20, "ethylene glycol 30 vol% 20 C"}, source,
            {1045.25, 3645, 0.453, 2.20e-3}, sound);
  check_all({ethylene, 0.324, ice + 40, "ethylene glycol 30 vol% 40 C"}, source,
            {1036.78, 3702, 0.473, 1.34e-3}, sound);
  check_all({ethylene, 0.1117, ice + 40, "ethylene glycol 10 vol% 40 C"}, source,
            {1006.01, 4007, 0.572, 0.80e-3}, sound);
  check_all({propylene, 0.306, ice + 20, "propylene glycol 30 vol% 20 C"}, source,
            {1028.35, 3848, 0.445, 3.06e-3}, sound);
}

TEST_CASE("without glycol the polynomials are water") {
  for (LiquidKind kind : {propylene, ethylene})
    for (double celsius : {0.0, 20.0, 40.0, 60.0, 80.0}) {
      CAPTURE(celsius);
      const Values mixture = values({kind, 0.0, ice + celsius, ""});
      const Values pure = values({water, 0.0, ice + celsius, ""});
      CHECK(mixture[0] == doctest::Approx(pure[0]).epsilon(0.001));
      CHECK(mixture[1] == doctest::Approx(pure[1]).epsilon(0.003));
      CHECK(mixture[2] == doctest::Approx(pure[2]).epsilon(0.01));
      CHECK(mixture[3] == doctest::Approx(pure[3]).epsilon(0.015));
    }
}

TEST_CASE("freezing points") {
  const char* source = "Melinder 2010, polynomial known through a transcription, own evaluation";
  published("ethylene glycol 30 % freezes", source, ice - 14.58, freezing_point(ethylene, 0.30),
            4e-5);
  published("ethylene glycol 50 % freezes", source, ice - 35.99, freezing_point(ethylene, 0.50),
            4e-5);
  published("propylene glycol 30 % freezes", source, ice - 12.79, freezing_point(propylene, 0.30),
            4e-5);
  CHECK(freezing_point(water, 0.3) == ice);
  CHECK(freezing_point(propylene, 0.0) == doctest::Approx(ice).epsilon(0.001));
}

TEST_CASE("within says whether the answer rests on the fit") {
  CHECK(within(water, 0.0, ice + 40));
  CHECK_FALSE(within(water, 0.0, ice - 1));
  CHECK_FALSE(within(water, 0.0, ice + 111));
  CHECK(within(propylene, 0.3, ice - 10));
  CHECK_FALSE(within(propylene, 0.3, ice - 14));
  CHECK_FALSE(within(propylene, 0.7, ice + 40));
  CHECK_FALSE(within(ethylene, -0.1, ice + 40));
  CHECK(lowest(ethylene, 0.5) == doctest::Approx(ice - 20.0));
  CHECK(highest(water) == ice + 110.0);
}

TEST_CASE("outside its window a coolant tends to a limit, without a kink") {
  for (LiquidKind kind : {water, propylene, ethylene})
    for (double fraction : {-1.0, 0.0, 0.3, 0.57, 3.0}) {
      const Values hot = values({kind, fraction, 1e6, ""});
      const Values warm = values({kind, fraction, ice + 110, ""});
      const Values cold = values({kind, fraction, -1e6, ""});
      const Values cool = values({kind, fraction, ice - 20, ""});
      for (std::size_t i = 0; i < 4; ++i) {
        CHECK(hot[i] == doctest::Approx(warm[i]).epsilon(0.14));
        CHECK(cold[i] == doctest::Approx(cool[i]).epsilon(0.7));
        CHECK(cold[i] > 0.0);
      }
      const Liquid<double> liquid = make_liquid(kind, fraction);
      for (double edge : {253.15, 383.15}) {
        const Dual<1> inside = viscosity(liquid, Dual<1>::variable(edge, 0));
        const Dual<1> outside = viscosity(liquid, Dual<1>::variable(std::nextafter(edge, 1e3), 0));
        CHECK(inside.value == doctest::Approx(outside.value).epsilon(1e-12));
        CHECK(inside.slope[0] == doctest::Approx(outside.slope[0]).epsilon(1e-10));
      }
    }
}

TEST_CASE("a coolant thins and stays positive all the way up") {
  for (LiquidKind kind : {water, propylene, ethylene})
    for (double fraction = 0.0; fraction <= 0.6; fraction += 0.1) {
      const Liquid<double> liquid = make_liquid(kind, fraction);
      double last = viscosity(liquid, 240.0);
      for (double kelvin = 241.0; kelvin < 400.0; kelvin += 1.0) {
        const double next = viscosity(liquid, kelvin);
        CHECK(next > 0.0);
        CHECK(next <= last);
        last = next;
      }
    }
}

TEST_CASE("slopes by temperature and by composition equal differences") {
  for (LiquidKind kind : {water, propylene, ethylene})
    for (double kelvin : {245.0, 253.15, 290.0, 330.0, 387.0}) {
      CAPTURE(kelvin);
      const double h = 1e-3;     // K
      const double step = 1e-5;  // of the mass fraction
      const Gradient fraction = Gradient::variable(0.3, 1);
      const Liquid<Gradient> mixture = make_liquid(kind, fraction);
      const Gradient at = Gradient::variable(kelvin, 0);
      const Gradient slopes[] = {density(mixture, at), specific_heat(mixture, at),
                                 conductivity(mixture, at), viscosity(mixture, at)};
      const Values up = values({kind, 0.3, kelvin + h, ""});
      const Values down = values({kind, 0.3, kelvin - h, ""});
      const Values rich = values({kind, 0.3 + step, kelvin, ""});
      const Values lean = values({kind, 0.3 - step, kelvin, ""});
      for (std::size_t i = 0; i < 4; ++i) {
        CAPTURE(i);
        const double scale = slopes[i].value;
        CHECK(std::abs(slopes[i].slope[0] - (up[i] - down[i]) / (2 * h)) < 3e-8 * scale);
        CHECK(std::abs(slopes[i].slope[1] - (rich[i] - lean[i]) / (2 * step)) < 1e-7 * scale);
      }
    }
}

TEST_CASE("every pairing of scalars gives the same value") {
  const Liquid<double> plain = make_liquid(propylene, 0.3);
  const Liquid<Gradient> lifted = make_liquid(propylene, Gradient(0.3));
  const double expected = viscosity(plain, 310.0);
  CHECK(viscosity(plain, Gradient(310.0)).value == expected);
  CHECK(viscosity(plain, Dual<1>(310.0)).value == expected);
  CHECK(viscosity(lifted, 310.0).value == doctest::Approx(expected).epsilon(1e-14));
  CHECK(viscosity(lifted, Gradient(310.0)).value == doctest::Approx(expected).epsilon(1e-14));
}
