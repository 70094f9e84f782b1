// Tables as they come: gaps, repeats, bounds, nonsense. Whatever the table, every cooler has a
// row or a reason, and every number is one.
#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <random>

#include "evidence/cooler_maker.hpp"
#include "libloop/evidence/ranking.hpp"

namespace libloop {
namespace {

constexpr int coolers = 6;

class Maker {
 public:
  explicit Maker(unsigned seed) : random_(seed) {}

  MeasuredTable table() {
    MeasuredTable out;
    for (int i = 0; i < coolers; ++i) {
      testing::ClosedCooler cooler;
      cooler.title = "Invented " + std::to_string(i);
      cooler.a = 0.1 + 0.2 * uniform();
      const int points = 1 + whole(14);
      for (int k = 0; k < points; ++k) out.points.push_back(point(cooler));
    }
    return out;
  }
  double uniform() { return std::uniform_real_distribution<double>()(random_); }
  int whole(int below) { return std::uniform_int_distribution<int>(0, below - 1)(random_); }
  bool one_in(int n) { return whole(n) == 0; }

 private:
  MeasuredPoint point(const testing::ClosedCooler& cooler) {
    const double loads[] = {60, 120, 121, 180, 300}, shares[] = {0.2, 0.4, 0.401, 0.7, 1.0};
    MeasuredPoint out = testing::point(cooler, shares[whole(5)], loads[whole(5)], 1 + whole(3));
    out.rise *= 0.9 + 0.2 * uniform();
    *out.level += 4 * uniform();
    if (one_in(4)) out.u.reset();
    if (one_in(5)) out.level.reset();
    if (one_in(6)) out.level_bound = true;
    if (one_in(6)) out.held = false;
    if (one_in(3)) out.fan_speed = 25 * *out.fan_share;
    if (one_in(5)) out.fan_share.reset();
    if (one_in(12)) out.fan_share = 0.0;
    if (one_in(30)) out.rise = std::numeric_limits<double>::quiet_NaN();
    if (one_in(30)) out.rise = one_in(2) ? 1e-9 : -3.0;
    if (one_in(30)) out.load = one_in(2) ? 0.0 : 1e7;
    if (one_in(30)) out.u = one_in(2) ? 1e5 : std::numeric_limits<double>::infinity();
    if (one_in(30)) out.level = std::numeric_limits<double>::quiet_NaN();
    if (one_in(2)) out.day = 19000 + whole(4);
    return out;
  }

  std::mt19937 random_;
};

void check(const Valued& value) {
  CHECK(std::isfinite(value.value));
  CHECK(std::isfinite(value.u()));
  CHECK(value.u() >= 0.0);
}

void check(const Ranking& ranking) {
  CHECK(ranking.rows.size() + ranking.left_out.size() == coolers);
  CHECK(ranking.ties.size() + 1 == std::max<std::size_t>(1, ranking.rows.size()));
  int group = 1;
  for (const RankedCooler& row : ranking.rows) {
    check(row.value);
    if (row.rise) check(*row.rise);
    if (row.level) check(*row.level);
    CHECK((row.group == group || row.group == group + 1));
    group = row.group;
    CHECK_FALSE(row.short_name.empty());
  }
  for (const Tie& tie : ranking.ties) CHECK(std::isfinite(tie.u));
  for (const BenchState& state : ranking.states) CHECK(std::isfinite(state.factor + state.u));
}

}  // namespace

TEST_CASE("ragged tables: a row or a reason for every cooler") {
  for (unsigned seed = 0; seed < 150; ++seed) {
    CAPTURE(seed);
    Maker maker(seed);
    const MeasuredTable table = maker.table();
    RankOptions options;
    if (maker.one_in(2)) options.reference = "Invented 0";
    const double load = 50 + 280 * maker.uniform();
    const Instruments<double> meters = testing::usual_meters();
    check(rank(table, meters, {.load = load}, options));
    check(rank(table, meters, {.load = load, .fan_share = 0.2 + maker.uniform()}, options));
    check(rank(table, meters, {.load = load, .fan_speed = 25 * maker.uniform() + 1}, options));
    check(rank(table, meters, {.load = load, .level = 25 + 20 * maker.uniform()}, options));
    check(rank(table, meters, {.load = load, .rise = 20 + 60 * maker.uniform()}, options));
    for (const NoiseCurve& curve : noise_curves(table, meters, load, options)) {
      for (const NoiseCurve::At& at : curve.points) {
        CHECK(std::isfinite(at.level + at.rise + at.u_rise));
      }
    }
  }
}

}  // namespace libloop
