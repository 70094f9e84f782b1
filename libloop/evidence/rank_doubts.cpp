// How doubts pass from points to what a cooler is ranked by: each is moved by its standard
// uncertainty, and everything is read again (JCGM 100:2008, 5.1.3).
#include <algorithm>
#include <cmath>

#include "libloop/evidence/budget.hpp"
#include "libloop/evidence/rank_value.hpp"

namespace libloop::evidence {
namespace {

// dB, standard uncertainty of all levels of one cooler together; judgement: the microphone is set
// up anew for each, and a meter's needle is read by eye.
constexpr double level_doubt = 0.5;
// Moved points may ask for a speed a little beyond those measured.
constexpr double moved_reach = 0.5;
constexpr double scale_step = 0.01;

double square(double x) { return x * x; }
double half_width(double width) { return width / std::sqrt(3.0); }  // GUM 4.3.7

}  // namespace

double CoolerCurves::bench_rise(double rise) const {
  if (cooler_->predicted) return 0.0;
  const Instruments<double>& meters = *instruments_;
  return std::sqrt(square(half_width(meters.chip.value)) +
                   square(half_width(meters.ambient.value)) +
                   square(half_width(meters.load.value) * rise));
}

// What becomes of rise and level at the target when rises become `rises(sign)` and levels shift.
template <class Rises>
CoolerCurves::Moved CoolerCurves::moved(const Spot& base, const Target& target, double level_shift,
                                        const Rises& rises, Placed& placed) const {
  for (const double sign : {1.0, -1.0}) {
    const std::vector<double> moved_rises = rises(sign);
    if (*std::min_element(moved_rises.begin(), moved_rises.end()) <= 0.0) continue;
    const RiseCurves curves(layout_, moved_rises);
    const LevelCurve levels = level_shift != 0.0 ? levels_.shifted(sign * level_shift) : levels_;
    const Spot there = find(curves, levels, target, moved_reach);
    if (!there.missing.empty() || there.rise->bound != base.rise->bound) continue;
    if (there.end && target.kind != Target::Kind::speed) continue;  // not at what is held equal
    Moved out{.rise = sign * (there.rise->rise - base.rise->rise)};
    if (there.level && base.level && there.level->bound == base.level->bound) {
      out.level = sign * (there.level->level - base.level->level);
    }
    return out;
  }
  placed.doubt_lost = true;
  return {};
}

void CoolerCurves::add_points(const Spot& base, const Target& target, Placed& out) const {
  const auto add = [&](const Moved& by) {
    out.of_rise.points = std::hypot(out.of_rise.points, by.rise);
    out.of_level.points = std::hypot(out.of_level.points, by.level);
  };
  if (cooler_->predicted) {  // one doubt for all its points: the same parts
    add(moved(
        base, target, 0.0,
        [&](double sign) {
          std::vector<double> rises = rises_;
          for (std::size_t i = 0; i < rises.size(); ++i) rises[i] += sign * cooler_->points[i].u;
          return rises;
        },
        out));
    return;
  }
  for (std::size_t point = 0; point < rises_.size(); ++point) {
    if (!cooler_->points[point].held) continue;
    add(moved(
        base, target, 0.0,
        [&](double sign) {
          std::vector<double> rises = rises_;
          rises[point] += sign * cooler_->points[point].u;
          return rises;
        },
        out));
  }
}

void CoolerCurves::add_doubts(const Spot& base, const Target& target, Placed& out) const {
  const double scatter = cooler_->predicted ? 0.0 : campaign_->mount_scatter;
  const double rise = base.rise->rise;
  if (base.rise->bound) {  // one point, as it is
    out.of_rise.points = base.rise->doubt;
    out.of_rise.mount = scatter * rise;
    out.of_rise.bench = bench_rise(rise);
  } else {
    add_points(base, target, out);
  }
  const auto same = [&](double) { return rises_; };
  const auto scaled_state = [&](std::size_t state, double by) {
    return [this, state, by](double sign) {
      std::vector<double> rises = rises_;
      for (std::size_t i = 0; i < rises.size(); ++i) {
        if (cooler_->points[i].state == state) rises[i] *= 1.0 + sign * by;
      }
      return rises;
    };
  };
  Moved scale;  // by 1 % more rise everywhere
  if (!base.rise->bound) {
    scale = moved(
        base, target, 0.0,
        [&](double sign) {
          std::vector<double> rises = rises_;
          for (double& one : rises) one *= 1.0 + sign * scale_step;
          return rises;
        },
        out);
  }
  const Moved shift = moved(base, target, level_doubt, same, out);
  const double meter = half_width(instruments_->level.value) / level_doubt;
  const double read_level = base.level ? base.level->doubt / level_doubt : 0.0;
  const double mount = scatter / std::sqrt(static_cast<double>(mounts())) / scale_step;
  const double read_rise = base.rise->doubt / rise / scale_step;
  const double bench = bench_rise(rise) / rise / scale_step;

  const auto fill = [&](Doubts& doubts, double by_scale, double by_shift) {
    doubts.level = std::abs(by_shift);
    doubts.reading = std::hypot(by_scale * read_rise, by_shift * read_level);
    if (doubts.mount == 0.0) doubts.mount = std::abs(by_scale) * mount;
    if (doubts.bench == 0.0) {
      doubts.bench = std::hypot(by_scale * bench, cooler_->predicted ? 0.0 : by_shift * meter);
    }
  };
  fill(out.of_rise, scale.rise, shift.rise);
  fill(out.of_level, scale.level, shift.level);
  if (base.level && base.level->bound) {  // read at another speed: it does not move along
    out.of_level.level = level_doubt;
    out.of_level.bench = cooler_->predicted ? 0.0 : half_width(instruments_->level.value);
  }

  out.of_rise.states.assign(campaign_->states.size(), 0.0);
  out.of_level.states.assign(campaign_->states.size(), 0.0);
  for (std::size_t state = 0; state < campaign_->states.size() && !cooler_->predicted; ++state) {
    const BenchState& one = campaign_->states[state];
    if (one.u == 0.0) continue;
    const Moved by = moved(base, target, 0.0, scaled_state(state, one.u / one.factor), out);
    out.of_rise.states[state] = by.rise;
    out.of_level.states[state] = by.level;
  }
}

}  // namespace libloop::evidence
