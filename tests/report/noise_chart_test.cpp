#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "libloop/report/palette.hpp"
#include "libloop/report/pictures.hpp"
#include "support/charts.hpp"

namespace libloop::report {
namespace {

using namespace testing;

TEST_CASE("rise against noise: a line a cooler, dots with intervals where measured, names at it") {
  const Chart chart = noise_chart(curves(4), 180.0);
  CHECK(chart.curves.size() == 4);
  CHECK(chart.dots.size() == 12);
  REQUIRE(chart.bars.size() == 12);
  CHECK(chart.bars.front().to.y - chart.bars.front().from.y == doctest::Approx(2 * 1.645 * 0.4));
  CHECK(chart.curves.front().points.size() == 9);
  for (int i = 0; i < 4; ++i) CHECK(find(chart, "cooler " + std::to_string(i)) != nullptr);
  CHECK(has(chart.title.words, "180 W"));
  check_writing(chart);
}

TEST_CASE("a line in the picture always has its name; who found no room is told") {
  PictureOptions options;
  options.under_test = title(7);
  options.pinned = {title(33)};
  for (const double apart : {0.02, 0.3, 2.0}) {
    CAPTURE(apart);
    const Chart chart = noise_chart(curves(40, apart), 180.0, options);
    CHECK(chart.curves.size() == chart.texts.size());
    CHECK(find(chart, "cooler 7") != nullptr);
    CHECK(find(chart, "cooler 33") != nullptr);
    CHECK(find(chart, "cooler 7")->bold);
    CHECK(told(chart, "And 26 more"));
    if (chart.curves.size() < 14) CHECK(told(chart, "want of room"));
    check_writing(chart);
  }
}

TEST_CASE("a predicted cooler has hollow dots in rise against noise") {
  std::vector<NoiseCurve> all = curves(2);
  CHECK_FALSE(told(noise_chart(all, 180.0), "Hollow"));
  for (NoiseCurve::At& at : all[1].points) at.predicted = true;
  const Chart chart = noise_chart(all, 180.0);
  CHECK(told(chart, "Hollow: predicted."));
  REQUIRE(chart.dots.size() == 6);
  for (std::size_t i = 0; i < 6; ++i) CHECK(chart.dots[i].hollow == (i >= 3));
}

TEST_CASE("every cooler of the table is drawn, named or counted in rise against noise") {
  PictureOptions options;
  for (int i = 0; i < 60; ++i) options.titles.push_back(title(i));
  const Chart few = noise_chart(curves(58), 180.0, options);
  CHECK(told(few, "No value here: Invented cooler 58, Invented cooler 59."));
  CHECK(told(few, "And 46 more"));
  const Chart many = noise_chart(curves(3), 180.0, options);
  int named = 0;
  for (int i = 3; i < 60; ++i) {
    named += told(many, title(i) + ",") || told(many, title(i) + " and") ? 1 : 0;
  }
  CHECK(named > 3);
  CHECK(told(many, " and " + std::to_string(57 - named) + " more."));
  check_writing(many);
}

TEST_CASE("the best of the rest are those with the lowest rise") {
  std::vector<NoiseCurve> all = curves(10);
  std::reverse(all.begin(), all.end());
  PictureOptions options;
  options.best = 2;
  const Chart chart = noise_chart(all, 180.0, options);
  CHECK(chart.curves.size() == 2);
  CHECK(find(chart, "cooler 0") != nullptr);
  CHECK(find(chart, "cooler 1") != nullptr);
}

TEST_CASE("one point is a picture, none is not") {
  std::vector<NoiseCurve> one = curves(1);
  one.front().points.resize(1);
  check_writing(noise_chart(one, 180.0));
  one.front().points.clear();
  CHECK(code_of([&] { noise_chart(one, 180.0); }) == Code::missing);
  CHECK(code_of([] { noise_chart({}, 180.0); }) == Code::missing);
  PictureOptions options;
  options.best = 0;
  CHECK(code_of([&] { noise_chart(curves(3), 180.0, options); }) == Code::call);
}

}  // namespace
}  // namespace libloop::report
