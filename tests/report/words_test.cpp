#include "libloop/report/words.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

namespace libloop::report {
namespace {

Model example() {
  Cooler cooler;
  cooler.add("fan");
  cooler.set("radiator.class", "240");
  cooler.set("fan.count", "2");
  cooler.set("fan.rated_speed", "1600 rpm");
  cooler.set("pump.rated_speed", "2500 rpm");
  return Model(cooler, Bench());
}

TEST_CASE("numbers keep the decimals that their doubt leaves meaning to") {
  CHECK(rounded(38.4, 19.0) == "38");
  CHECK(rounded(5.52, 3.0) == "5.5");
  CHECK(rounded(5.52, 9.9) == "5.5");
  CHECK(rounded(5.52, 10.0) == "6");
  CHECK(rounded(0.914, 0.4) == "0.91");
  CHECK(rounded(-0.04, 3.0) == "0.0");
  CHECK(rounded(32.37224, 0.0) == "32.4");
  CHECK(rounded(1e-30, 1e-30) == "0");
  CHECK(range_words({30.2, 38.0, 49.4, 37.0}) == "30 to 49");
  CHECK(kelvins(-0.01) == "0.0");
  CHECK(kelvins(-1.26) == "-1.3");
}

TEST_CASE("a point is called by its load and its speeds") {
  const Model model = example();
  CHECK(duty_words(model, {.load = 180}) == "180 W and full fans");
  CHECK(duty_words(model, {.load = 180, .fan = 0.6}) == "180 W and fans at 60 % (960 rpm)");
  CHECK(duty_words(model, {.load = 90, .fan = 0.0, .pump = 0.8}) ==
        "90 W, stopped fans and the pump at 80 % (2000 rpm)");
  CHECK(duty_words(model, {.load = 90, .pump = 0.0}) == "90 W, full fans and a stopped pump");
  CHECK(duty_label({.load = 90, .fan = 0.55, .pump = 0.8}) == "90 W, fans 55 %, pump 80 %");
}

TEST_CASE("fans of unlike rated speed have no common rpm") {
  Cooler cooler = example().cooler();
  cooler.set("fan.count", "1");
  cooler.add("fan").set("rated_speed", "1800 rpm");
  const Model model(cooler, Bench());
  CHECK_FALSE(fan_rpm(model, Duty()));
  CHECK(duty_words(model, {.load = 180, .fan = 0.5}) == "180 W and fans at 50 %");
}

TEST_CASE("several pumps and no fan have their own words") {
  Cooler cooler = example().cooler();
  cooler.clear("fan");
  cooler.add("fan", "one").set("rated_speed", "1600 rpm");
  CHECK(duty_words(Model(cooler, Bench()), {.load = 90, .fan = 0.5}) ==
        "90 W and fans at 50 % (800 rpm)");
  PredictedPoint point;
  point.typical.chips.resize(1);
  CHECK(first_chip(point) == "the chip");
  CHECK(other_chips(point).empty());
  point.typical.chips.resize(3);
  const char* names[] = {"chip.a", "chip.b", "chip.c"};
  for (std::size_t i = 0; i < 3; ++i) {
    point.typical.chips[i].name = names[i];
    point.chip_rise.push_back({30.0 + 10.0 * static_cast<double>(i), 40.0, 55.0, 40.0});
  }
  point.chip_rise[2].p50 = 45.0;
  point.samples = 100;
  CHECK(first_chip(point) == "chip.a");
  CHECK(other_chips(point) == "; the hottest of the other 2, chip.c, 45.0 K (50.0 to 55.0 K)");
}

TEST_CASE("answers are told in the units of their rows") {
  Intervals answers{};
  answers[static_cast<std::size_t>(Answer::coolant_flow)] = {1e-5, 2e-5, 3e-5, 2e-5};
  const Interval flow =
      in_unit(answers, answer_rows[static_cast<std::size_t>(Answer::coolant_flow)]);
  CHECK(flow.p05 == doctest::Approx(0.6));
  CHECK(flow.p95 == doctest::Approx(1.8));
}

TEST_CASE("a column has the same decimals throughout, by its widest interval") {
  const auto flows = [](double p05, double p50, double p95) {
    Intervals answers{};
    answers[static_cast<std::size_t>(Answer::conductance)] = {p05, p50, p95, p50};
    return answers;
  };
  const auto width = [](const std::vector<Intervals>& points) {
    return column_widths(points)[static_cast<std::size_t>(Answer::conductance)];
  };
  const double doubtful = width({flows(5.6, 7.3, 9.7), flows(7.0, 9.04, 12.0)});
  CHECK(doubtful == doctest::Approx(5.0));
  CHECK(rounded(7.3, doubtful) == "7.3");
  CHECK(rounded(9.04, doubtful) == "9.0");
  const double exact = width({flows(9.0, 9.0, 9.0), flows(32.37, 32.37, 32.37)});
  CHECK(rounded(32.37, exact) == "32.4");
  CHECK(rounded(9.0, exact) == "9.0");
  CHECK(width({}) == 0.0);
}

TEST_CASE("the hottest point is told among several") {
  Prediction prediction;
  prediction.points.resize(1);
  prediction.points[0].typical.summary.usable = true;
  CHECK(hottest_words(prediction).empty());
  prediction.points.resize(3, prediction.points[0]);
  prediction.matters_point = 2;
  CHECK(&hottest(prediction) == &prediction.points[2]);
  CHECK(hottest_words(prediction) == ", the hottest of 3 points,");
  prediction.points[0].typical.summary.usable = false;
  CHECK(hottest_words(prediction) == ", the hottest with an answer (2 of 3 points have one),");
  prediction.points[2].typical.summary.usable = false;
  CHECK(hottest_words(prediction).empty());
}

TEST_CASE("exact numbers read back, what is not finite is empty") {
  CHECK(exact(0.1) == "0.1");
  CHECK(exact(180.0) == "180");
  CHECK(exact(std::numeric_limits<double>::quiet_NaN()).empty());
  CHECK(tidy(17.000000000000004) == 17.0);
  CHECK(settled(17.000000000000004) == 17.0);
  CHECK(settled(-1.1e-13) == 0.0);
  CHECK_FALSE(std::signbit(settled(-1.1e-13)));
  CHECK(settled(2e-9) == 2e-9);
}

}  // namespace
}  // namespace libloop::report
