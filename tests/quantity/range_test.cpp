#include "libloop/quantity/range.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

namespace libloop {
namespace {

constexpr double z95 = 1.6448536269514722;

struct Case {
  Range range;
  Transform transform;
  double min, max;
};

const std::vector<Case> cases = {
    {{15, 19, 23}, Transform::none, 4, 40},         // even
    {{6, 7.5, 12}, Transform::none, 2, 20},         // bent
    {{-1, 0, 4}, Transform::none, -30, 30},         // through zero
    {{15, 19, 23}, Transform::log, 4, 40},          // bent the other way
    {{1, 10, 100}, Transform::log, 0.1, 1000},      // even on its scale
    {{0.7, 0.85, 0.92}, Transform::logit, 0.3, 1},  //
    {{0.02, 0.1, 0.3}, Transform::logit, 0.001, 1},
};

Spread spread_of(const Case& c) { return {c.range, c.transform, c.min, c.max}; }

TEST_CASE("a spread passes through its three points") {
  for (const Case& c : cases) {
    CAPTURE(c.range.typical);
    const Spread spread = spread_of(c);
    CHECK(spread.at(0.0) == doctest::Approx(c.range.typical).epsilon(1e-12));
    CHECK(spread.at(-z95) == doctest::Approx(c.range.low).epsilon(1e-12));
    CHECK(spread.at(z95) == doctest::Approx(c.range.high).epsilon(1e-12));
  }
}

TEST_CASE("a spread rises, and its slope is the difference") {
  for (const Case& c : cases) {
    CAPTURE(c.range.typical);
    const Spread spread = spread_of(c);
    for (double z = -4.0; z < 4.0; z += 0.125) {
      CHECK(spread.at(z + 0.125) > spread.at(z));
      const double difference = (spread.at(z + 1e-5) - spread.at(z - 1e-5)) / 2e-5;
      CHECK(spread.slope(z) == doctest::Approx(difference).epsilon(1e-6));
    }
  }
}

TEST_CASE("a spread has no kink at its median") {
  for (const Case& c : cases) {
    CAPTURE(c.range.typical);
    const Spread spread = spread_of(c);
    CHECK(spread.slope(1e-9) == doctest::Approx(spread.slope(-1e-9)).epsilon(1e-7));
    // The slope itself changes smoothly: its differences agree on both sides.
    const double before = (spread.slope(0.0) - spread.slope(-1e-4)) / 1e-4;
    const double after = (spread.slope(1e-4) - spread.slope(0.0)) / 1e-4;
    CHECK(after == doctest::Approx(before).epsilon(1e-2).scale(spread.slope(0.0)));
  }
}

TEST_CASE("z_of undoes at") {
  for (const Case& c : cases) {
    CAPTURE(c.range.typical);
    const Spread spread = spread_of(c);
    for (double z = -3.0; z <= 3.0; z += 0.25) {
      CHECK(spread.z_of(spread.at(z)) == doctest::Approx(z).epsilon(1e-9));
    }
  }
}

TEST_CASE("a bounded spread stays within its bounds") {
  const Spread spread({0.7, 0.85, 0.92}, Transform::logit, 0.3, 1.0);
  for (double z = -8.0; z <= 8.0; z += 0.5) {
    CHECK(spread.at(z) >= 0.3);
    CHECK(spread.at(z) <= 1.0);
  }
}

TEST_CASE("a nearly even range joins the even one") {
  const Spread even({10, 20, 30}, Transform::none, 0, 100);
  for (const double off : {1e-10, 1e-8, 1e-7, 1e-6, 1e-5}) {
    const Spread bent({10, 20, 30 + 10 * off}, Transform::none, 0, 100);
    for (const double z : {-3.0, -1.0, 0.5, 3.0}) {
      CHECK(bent.at(z) == doctest::Approx(even.at(z)).epsilon(20 * off + 1e-9));
    }
  }
}

TEST_CASE("an exact value does not spread") {
  const Spread spread({3, 3, 3}, Transform::log, 1, 10);
  CHECK(spread.at(2.0) == doctest::Approx(3.0));
  CHECK(spread.slope(1.0) == 0.0);
  CHECK(spread.z_of(5.0) == 0.0);
  const Spread zero({0, 0, 0}, Transform::log, 0, 10);
  CHECK(zero.at(2.0) == 0.0);
  CHECK(zero.slope(2.0) == 0.0);
}

TEST_CASE("beyond the end of a bent map z is far out, not undefined") {
  const Spread spread({6, 7.5, 12}, Transform::none, 2, 20);
  CHECK(std::isfinite(spread.z_of(2.0)));
  CHECK(spread.z_of(2.0) < -z95);
}

}  // namespace
}  // namespace libloop
