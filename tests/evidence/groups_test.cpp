#include "libloop/evidence/groups.hpp"

#include <doctest/doctest.h>

#include <cmath>

namespace libloop::evidence {
namespace {

Standing at(double value, double u, int mounts = 1) {
  Standing one{.value = value, .mounts = mounts, .doubts = {}};
  one.doubts.mount = u;
  return one;
}

}  // namespace

TEST_CASE("groups open where the best of the last one is told apart") {
  const double u = 1.0 / std::sqrt(2.0);  // of a difference: 1
  const std::vector<Standing> ranked{at(40, u), at(42, u),   at(42.9, u),
                                     at(43, u), at(45.9, u), at(50, u)};
  CHECK(groups(ranked, 3.0) == std::vector<int>{1, 1, 1, 2, 2, 3});
  const std::vector<Alike> runs = alike(ranked, 3.0);
  REQUIRE(runs.size() == 3);
  CHECK(runs[0].first == 0);
  CHECK(runs[0].last == 2);
  CHECK(runs[1].first == 1);
  CHECK(runs[1].last == 3);
  CHECK(runs[2].first == 3);
  CHECK(runs[2].last == 4);
}

TEST_CASE("runs overlap: A as B, B as C, A not as C") {
  const double u = 1.0 / std::sqrt(2.0);
  const std::vector<Alike> runs =
      alike(std::vector<Standing>{at(40, u), at(42, u), at(44, u)}, 3.0);
  REQUIRE(runs.size() == 2);
  CHECK(runs[0].last == 1);
  CHECK(runs[1].first == 1);
  CHECK(runs[1].last == 2);
  CHECK(alike(std::vector<Standing>{at(40, u)}, 3.0).empty());
  CHECK(alike({}, 3.0).empty());
  CHECK(groups({}, 3.0).empty());
}

TEST_CASE("doubts that two share do not part them") {
  Standing a = at(40, 0.1), b = at(41, 0.1);
  a.doubts.bench = b.doubts.bench = 5.0;
  a.doubts.states = b.doubts.states = {0.0, 2.0};
  CHECK(difference_doubt(a, b) == doctest::Approx(std::sqrt(0.02)));
  b.doubts.states = {2.0, 0.0};
  CHECK(difference_doubt(a, b) == doctest::Approx(std::sqrt(8.02)));
  b.doubts.states.clear();
  b.doubts.bench = 0.0;
  b.predicted = true;  // it was not read by those meters
  CHECK(difference_doubt(a, b) == doctest::Approx(std::sqrt(0.02 + 4.0 + 25.0)));
}

TEST_CASE("mountings needed: by hand") {
  // One mounting each, 1 K each: u(n) = sqrt(2/n); 1.5 >= 3 sqrt(2/n) from n = 8.
  CHECK(mounts_needed(at(40, 1.0), at(41.5, 1.0), 3.0) == 8);
  // Two mountings each with means of u 1: n = 16.
  CHECK(mounts_needed(at(40, 1.0, 2), at(41.5, 1.0, 2), 3.0) == 16);
  CHECK_FALSE(mounts_needed(at(40, 1.0), at(40.01, 1.0), 3.0));
  CHECK_FALSE(mounts_needed(at(40, 1.0), at(40, 1.0), 3.0));
  Standing fixed = at(41.5, 1.0);
  fixed.doubts.reading = 0.6;  // no mounting takes that away
  CHECK_FALSE(mounts_needed(at(40, 1.0), fixed, 3.0));
}

TEST_CASE("rows not told apart need not be neighbours") {
  // Exact ones at 40, 43, 46; between them one with a wide doubt.
  const std::vector<Standing> ranked = {at(40, 0.1), at(43, 0.1), at(44, 3.0), at(46, 0.1)};
  using Rows = std::vector<std::size_t>;
  CHECK(like(ranked, 0, 3.0) == Rows{2});
  CHECK(like(ranked, 1, 3.0) == Rows{2});
  CHECK(like(ranked, 2, 3.0) == Rows{0, 1, 3});
  CHECK(like(ranked, 3, 3.0) == Rows{2});
}

TEST_CASE("a bound parts only on the side that it bounds") {
  Standing value = at(40, 0.1), bound = at(50, 0.1);
  bound.at_least = true;
  CHECK(told_apart(value, bound, 3.0));
  CHECK_FALSE(told_apart(bound, at(60, 0.1), 3.0));
  bound.at_least = false;
  bound.at_most = true;
  CHECK_FALSE(told_apart(value, bound, 3.0));
  CHECK(told_apart(bound, at(60, 0.1), 3.0));
  CHECK_FALSE(mounts_needed(value, bound, 3.0));
}

TEST_CASE("equal values without any doubt are one group") {
  CHECK(groups(std::vector<Standing>{at(40, 0), at(40, 0), at(40.1, 0)}, 3.0) ==
        std::vector<int>{1, 1, 2});
}

}  // namespace libloop::evidence
