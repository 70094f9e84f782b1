#include "libloop/files/log_step.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <random>
#include <string>

#include "libloop/files/read_log.hpp"

namespace libloop::files {
namespace {

// Readings that wander, rounded to `step` and written with so many decimals.
double found(double step, int decimals, int readings, double start = 50.0, double noise = 1.0) {
  std::mt19937 random(7);
  std::normal_distribution<double> normal(0.0, noise);
  StepFinder finder;
  for (int i = 0; i < readings; ++i) {
    const double value = std::round((start + normal(random)) / step) * step;
    char written[40];
    std::snprintf(written, sizeof written, "%.*f", decimals, value);
    finder.see(std::strtod(written, nullptr), decimals);
  }
  return finder.step();
}

TEST_CASE("steps of rounding, told by figures and by differences") {
  CHECK(found(1.0, 0, 200) == doctest::Approx(1.0));
  CHECK(found(1.0, 1, 200) == doctest::Approx(1.0));  // "50.0"
  CHECK(found(0.5, 1, 200) == doctest::Approx(0.5));
  CHECK(found(0.5, 3, 200) == doctest::Approx(0.5));
  CHECK(found(0.1, 1, 200) == doctest::Approx(0.1));
  CHECK(found(0.125, 3, 200) == doctest::Approx(0.125));
  CHECK(found(0.125, 2, 200) == doctest::Approx(0.125));  // the last figure is cut off
  CHECK(found(0.0625, 3, 400) == doctest::Approx(0.0625));
  CHECK(found(1.8, 1, 200, 122.0, 2.0) == doctest::Approx(1.8));  // 1 K written in F
  CHECK(found(30.0, 0, 200, 1200.0, 40.0) == doctest::Approx(30.0));
  CHECK(found(0.01, 2, 300) == doctest::Approx(0.01));
  CHECK(found(0.001, 3, 300) == doctest::Approx(0.001));
  CHECK(found(1e-6, 6, 300) == 0.0);  // none that anyone would notice
}

TEST_CASE("a few readings tell by their figures alone, and jumps tell nothing") {
  CHECK(found(0.5, 1, 4) == doctest::Approx(0.1));
  StepFinder finder;
  for (int i = 0; i < 1000; ++i) finder.see(i < 300 ? 100.0 : i < 600 ? 200.0 : 300.0, 1);
  CHECK(finder.step() == doctest::Approx(0.1));
  CHECK(StepFinder().step() == 0.0);
}

TEST_CASE("the step in a log is in SI, and that before rows were merged") {
  std::string text = "time [s],chip [F],fan [rpm]\n";
  for (int i = 0; i < 600; ++i) {
    text += std::to_string(i) + "," + std::to_string(120 + i * 7 % 5) + "," +
            std::to_string(1200 + 30 * (i * 3 % 4)) + "\n";
  }
  LogChoice choice;
  choice.most_rows = 50;
  const Log log = parse_log(text, "t", choice);
  CHECK(log.merged > 1);
  CHECK(log.find(Channel::chip)->step == doctest::Approx(5.0 / 9.0));
  CHECK(log.find(Channel::fan_speed)->step == doctest::Approx(0.5));
}

}  // namespace
}  // namespace libloop::files
