#include <doctest/doctest.h>

#include "evidence/cooler_maker.hpp"
#include "libloop/base/error.hpp"
#include "libloop/evidence/expected.hpp"
#include "libloop/evidence/ranking.hpp"

namespace libloop {
namespace {

Cooler invented() {
  Cooler cooler;
  cooler.title = "Invented Model";
  cooler.set("radiator.class", "240");
  cooler.add("fan");
  cooler.set("fan.count", "2");
  cooler.set("fan.free_flow", "110 m3/h");
  cooler.set("fan.static_pressure", "20 Pa");
  return cooler;
}

}  // namespace

TEST_CASE("a predicted cooler stands among measured ones") {
  const Model model(invented(), generic_bench("one-large-die"));
  const std::vector<Duty> duties{{.load = 180, .fan = 0.6}, {.load = 180, .fan = 1.0}};
  const PredictOptions few{.samples = 60};
  const Expected expected = expected_points(model, duties, few);
  REQUIRE(expected.points.size() == 2);
  CHECK(expected.left_out.empty());
  const Prediction same = predict(model, duties, few);
  const Interval& rise = same.points[1].at(Answer::rise);
  CHECK(expected.points[1].rise == rise.p50);
  CHECK(*expected.points[1].u == doctest::Approx((rise.p95 - rise.p05) / 3.29));
  CHECK(expected.points[0].level < expected.points[1].level);

  MeasuredTable table;
  table.points = expected.points;
  testing::ClosedCooler measured;
  measured.title = "Invented Model";  // the same one, measured
  testing::add(table, measured);
  const Ranking ranking = rank(table, testing::usual_meters(), {.load = 180});
  REQUIRE(ranking.rows.size() == 2);
  for (const RankedCooler& row : ranking.rows) {
    CHECK(row.predicted == (row.title == "Invented Model (predicted)"));
    if (!row.predicted) continue;
    CHECK(row.value.value == doctest::Approx(rise.p50));
    CHECK(row.value.u_own == doctest::Approx((rise.p95 - rise.p05) / 3.29).epsilon(1e-6));
    CHECK(row.value.u_bench == 0.0);
  }
  CHECK(ranking.ties[0].u > ranking.rows[0].value.u_own);
  const std::vector<NoiseCurve> curves = noise_curves(table, testing::usual_meters(), 180);
  REQUIRE(curves.size() == 2);
  for (const NoiseCurve& curve : curves) {
    for (const NoiseCurve::At& at : curve.points) {
      CHECK(at.predicted == (curve.title == "Invented Model (predicted)"));
    }
  }
}

TEST_CASE("points of a prediction need samples") {
  const Model model(invented(), generic_bench("one-large-die"));
  const std::vector<Duty> duties{{.load = 180}};
  CHECK_THROWS_AS(expected_points(model, duties, {.samples = 0}), InputError);
}

}  // namespace libloop
