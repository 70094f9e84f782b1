#include "libloop/model/predict.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "libloop/base/error.hpp"
#include "support/coolers.hpp"

using namespace libloop;
using libloop::testing::Case;
using libloop::testing::some_cases;

namespace {

constexpr Duty duties[] = {{.load = 90.0, .ambient = 296.15}, {.load = 270.0, .ambient = 296.15}};

double width(const Interval& i) { return i.p95 - i.p05; }

}  // namespace

TEST_CASE("intervals are ordered, finite and near the gradient's") {
  for (const Case& c : some_cases()) {
    CAPTURE(c.name);
    const Prediction p = predict(Model(c.cooler, c.bench), duties);
    for (const PredictedPoint& point : p.points) {
      CHECK(point.samples + point.without_answer == 400);
      for (const AnswerRow& row : answer_rows) {
        const Interval& i = point.at(row.answer);
        CHECK(std::isfinite(i.p05));
        CHECK(i.p05 <= i.p50);
        CHECK(i.p50 <= i.p95);
      }
      // First order: off by up to half a sigma, and less sure of its tails.
      const Interval& rise = point.at(Answer::rise);
      CHECK(point.interval_gap < 0.35 * width(rise));
      CHECK(point.gradient_p05 < point.typical[Answer::rise]);
      CHECK(point.gradient_p95 > point.typical[Answer::rise]);
    }
    CHECK(p.points[1].at(Answer::rise).p50 > p.points[0].at(Answer::rise).p50);
    for (std::size_t i = 1; i < p.matters.size(); ++i) {
      CHECK(std::abs(p.matters[i - 1].effect) >= std::abs(p.matters[i].effect));
    }
  }
}

TEST_CASE("the same call gives the same numbers, more samples nearly the same") {
  const Case c = some_cases().front();
  const Model model(c.cooler, c.bench);
  const Prediction a = predict(model, duties), b = predict(model, duties);
  CHECK(a.points[0].at(Answer::rise).p95 == b.points[0].at(Answer::rise).p95);
  const Prediction many = predict(model, duties, {.samples = 4000});
  const Interval &few = a.points[0].at(Answer::rise), &more = many.points[0].at(Answer::rise);
  CHECK(std::abs(few.p50 - more.p50) < 0.05 * width(more));
  CHECK(std::abs(few.p05 - more.p05) < 0.10 * width(more));
  CHECK(std::abs(few.p95 - more.p95) < 0.20 * width(more));
}

TEST_CASE("the difference of two coolers is sharper than either") {
  const std::vector<Case> cases = some_cases();
  const Model one(cases[0].cooler, cases[0].bench), two(cases[3].cooler, cases[0].bench);
  const Comparison c = compare(one, two, duties, duties);
  for (std::size_t d = 0; d < 2; ++d) {
    const Interval& difference = c.difference[d][static_cast<std::size_t>(Answer::rise)];
    const Interval& own = c.cooler.points[d].at(Answer::rise);
    const Interval& other = c.other.points[d].at(Answer::rise);
    CHECK(width(difference) < 0.7 * width(own));
    CHECK(difference.typical == doctest::Approx(own.typical - other.typical));
    CHECK(difference.p50 == doctest::Approx(own.p50 - other.p50).epsilon(0.5));
  }
}

TEST_CASE("a cooler against a twin of its own sheet: no difference, but not a sure one") {
  const Case c = some_cases().front();
  const Model model(c.cooler, c.bench);
  const Comparison twin = compare(model, model, duties, duties);
  const Interval& difference = twin.difference[1][static_cast<std::size_t>(Answer::rise)];
  CHECK(difference.typical == 0.0);
  CHECK(difference.p05 < 0.0);
  CHECK(difference.p95 > 0.0);
  CHECK(std::abs(difference.p50) < 0.15 * width(difference));
}

TEST_CASE("without doubt there is no width; without points there is no prediction") {
  Case c = some_cases().front();
  const Model model(c.cooler, c.bench);
  const Prediction typical = predict(model, duties, {.samples = 0});
  CHECK(width(typical.points[0].at(Answer::rise)) == 0.0);
  CHECK(typical.points[0].at(Answer::rise).p50 == typical.points[0].typical[Answer::rise]);
  CHECK_THROWS_AS(predict(model, {}), InputError);
  const Duty impossible[] = {{.load = -5.0}};
  CHECK_THROWS_AS(predict(model, impossible), InputError);
  const Duty nan[] = {{.load = std::nan("")}};
  CHECK_THROWS_AS(predict(model, nan), InputError);
}

TEST_CASE("knowing one more figure never widens the interval by much") {
  Case c = some_cases().front();
  const Prediction vague = predict(Model(c.cooler, c.bench), duties);
  c.bench.set("chip.active_share", "0.65");
  const Prediction sharp = predict(Model(c.cooler, c.bench), duties);
  CHECK(width(sharp.points[0].at(Answer::rise)) < width(vague.points[0].at(Answer::rise)));
}
