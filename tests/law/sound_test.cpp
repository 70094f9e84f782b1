#include "libloop/law/sound.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "support/published.hpp"

namespace libloop::law {
namespace {

using testing::published;

double change(double per_decade, double speed) {
  return sound_level(sound_energy(40.0, per_decade, speed)) - 40.0;
}

TEST_CASE("sound: level and speed") {
  const char* source = "level ~ 50 to 60 log10 speed, AMCA 301 (from memory)";
  published("1000 to 1500 rpm at 50 dB a decade, dB", source, 8.805, change(50.0, 1.5), 1e-4);
  published("1000 to 1500 rpm at 55 dB a decade, dB", source, 9.685, change(55.0, 1.5), 1e-4);
  published("1000 to 1500 rpm at 60 dB a decade, dB", source, 10.565, change(60.0, 1.5), 1e-4);
  published("800 to 1600 rpm at 50 dB a decade, dB", source, 15.051, change(50.0, 2.0), 1e-4);
  published("800 to 1600 rpm at 60 dB a decade, dB", source, 18.062, change(60.0, 2.0), 1e-4);
  published("Madison, 1000 to 1500 rpm, dB", source, 8.805, sound_power_change(1.5, 1.0, 1.0),
            1e-4);
}

TEST_CASE("sound: sums and distance") {
  const char* source = "sum of incoherent sources (definition)";
  const double one = sound_gain(30.0);
  published("two equal sources, dB", source, 3.010, sound_level(2.0 * one) - 30.0, 2e-4);
  published("three equal sources, dB", source, 4.771, sound_level(3.0 * one) - 30.0, 2e-4);
  published("30 dB + 33 dB", source, 34.764, sound_level(one + sound_gain(33.0)), 2e-5);
  const char* floor = "spreading over a hemisphere (definition)";
  published("power less pressure level at 1 m, dB", floor, 7.982, -sound_over_floor(0.0, 1.0),
            1e-4);
  published("power less pressure level at 0.5 m, dB", floor, 1.961, -sound_over_floor(0.0, 0.5),
            3e-4);
  CHECK(sound_level(one * sound_at_distance(1.0, 0.5)) == doctest::Approx(36.0206).epsilon(1e-5));
}

TEST_CASE("sound: silence is reached smoothly") {
  for (const double speed : {0.0, 1e-12, 1e-3, 1.0}) {
    const Gradient energy = sound_energy(Gradient::variable(35.0, 0), Gradient::variable(55.0, 1),
                                         Gradient::variable(speed, 2));
    const Gradient level = sound_level(energy);
    CHECK(level.value >= -60.0);
    for (const double slope : level.slope) CHECK(std::isfinite(slope));
  }
  CHECK(sound_level(sound_energy(35.0, 55.0, 0.0)) == doctest::Approx(-60.0));
  CHECK(sound_level(sound_energy(35.0, 55.0, 1.0)) == doctest::Approx(35.0).epsilon(1e-9));
}

}  // namespace
}  // namespace libloop::law
