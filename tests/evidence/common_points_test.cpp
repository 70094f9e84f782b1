#include "libloop/evidence/common_points.hpp"

#include <doctest/doctest.h>

#include "libloop/base/error.hpp"

namespace libloop {
namespace {

MeasuredTable table_of(const std::vector<std::pair<const char*, double>>& points) {
  MeasuredTable table;
  for (const auto& [cooler, load] : points) {
    MeasuredPoint point;
    point.cooler = cooler;
    point.load = load;
    table.points.push_back(point);
  }
  return table;
}

NoiseCurve curve_of(double low, double high) {
  NoiseCurve curve;
  curve.points = {{low, 40.0, 0.3, true}, {high, 30.0, 0.3, true}};
  return curve;
}

TEST_CASE("the common load is the one that the most coolers have, not the most rows") {
  CHECK(
      common_load(table_of(
          {{"A", 90}, {"A", 90.4}, {"A", 90}, {"A", 90}, {"B", 180}, {"A", 180.9}, {"C", 270}})) ==
      doctest::Approx(180.9));
  // Of several the highest.
  CHECK(common_load(table_of({{"A", 90}, {"A", 180}, {"B", 180}, {"B", 90}})) == 180.0);
  CHECK(common_load(table_of({{"A", 0}})) == 0.0);
  CHECK_THROWS_AS(common_load(MeasuredTable{}), InputError);
}

TEST_CASE("the common level lies in the middle of the most curves") {
  const std::vector<NoiseCurve> three = {curve_of(20, 36), curve_of(30, 45), curve_of(28, 33.2)};
  CHECK(common_level(three) == doctest::Approx(32.0));
  const std::vector<NoiseCurve> narrow = {curve_of(20, 30.3), curve_of(30.1, 45)};
  CHECK(*common_level(narrow) == doctest::Approx(30.2));
  const std::vector<NoiseCurve> apart = {curve_of(20, 25), curve_of(30, 45), NoiseCurve{}};
  CHECK(!common_level(apart));
  CHECK(!common_level({}));
  // A curve that lies within the rest of another does not narrow what three have in common.
  const std::vector<NoiseCurve> four = {curve_of(20, 30), curve_of(20, 30), curve_of(20, 30),
                                        curve_of(40, 41)};
  CHECK(*common_level(four) == doctest::Approx(25.0));
}

}  // namespace
}  // namespace libloop
