#include "libloop/evidence/rank_value.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "libloop/base/text.hpp"

namespace libloop::evidence {
namespace {

std::vector<double> rises_of(const std::vector<UsedPoint>& points) {
  std::vector<double> rises;
  for (const UsedPoint& point : points) rises.push_back(point.rise);
  return rises;
}

std::string watts(double load) { return text::number(load, 4) + " W"; }
std::string decibels(double level) { return text::number(level, 3) + " dBA"; }

}  // namespace

CoolerCurves::CoolerCurves(const MeasuredCooler& cooler, const Campaign& campaign,
                           const Instruments<double>& instruments)
    : cooler_(&cooler),
      campaign_(&campaign),
      instruments_(&instruments),
      layout_(lay_out(cooler.points)),
      rises_(rises_of(cooler.points)),
      curves_(layout_, rises_),
      levels_(cooler.points) {}

CoolerCurves::Spot CoolerCurves::at_speed(const RiseCurves& curves, const LevelCurve& levels,
                                          double speed, double load, double reach) const {
  Spot spot{.speed = speed};
  spot.rise = curves.at(speed, load, reach);
  if (!spot.rise || spot.rise->beyond) {
    // What was seen to be too hot is worth more than what points elsewhere would lead to.
    if (const auto bound = curves.bound_at(speed, load)) spot.rise = bound;
  }
  spot.level = levels.at(speed, reach);
  if (!spot.rise) spot.missing = no_rise(speed, load);
  return spot;
}

// Why nothing can be read at a load, whatever the speed; empty when it can.
std::string CoolerCurves::no_load(double load) const {
  if (layout_.rows.empty()) return "at every point the chip's limit ended the run";
  const double light = layout_.rows.front().load, heavy = layout_.rows.back().load;
  if (load >= light * (1.0 - furthest) && load <= heavy * (1.0 + furthest)) return {};
  return fmt::format("{} is more than 10 % beyond {}", watts(load),
                     light == heavy
                         ? fmt::format("its one load, {}", watts(light))
                         : fmt::format("its loads, {} to {}", watts(light), watts(heavy)));
}

std::string CoolerCurves::no_rise(double speed, double load) const {
  const std::string by_load = no_load(load);
  if (!by_load.empty()) return by_load;
  return fmt::format("its points around {} do not reach to within 10 % of {}", watts(load),
                     speed_text(cooler_->kind, speed));
}

std::string CoolerCurves::no_speed_for_level(const LevelCurve::Solved& solved, double level) const {
  if (solved.measured == 0) return "it has no measured noise that is more than a bound";
  if (level > solved.loudest) {
    return fmt::format("at most {} at its loudest measured fan speed", decibels(solved.loudest));
  }
  return fmt::format("still {} at its quietest measured fan speed", decibels(solved.quietest));
}

CoolerCurves::Spot CoolerCurves::find(const RiseCurves& curves, const LevelCurve& levels,
                                      const Target& target, double reach) const {
  if (target.kind == Target::Kind::level) {
    const LevelCurve::Solved solved = levels.speed_at(target.value, reach);
    if (!solved.speed) return {.missing = no_speed_for_level(solved, target.value)};
    return at_speed(curves, levels, *solved.speed, target.load, reach);
  }
  if (target.kind == Target::Kind::rise) {
    const RiseCurves::Solved solved = curves.speed_at(target.value, target.load, reach);
    if (solved.speed) {
      Spot spot = at_speed(curves, levels, *solved.speed, target.load, reach);
      if (spot.missing.empty() && !spot.level) {
        spot.missing =
            fmt::format("no noise is known at {}, where its rise is {} K",
                        speed_text(cooler_->kind, spot.speed), text::number(target.value, 3));
      }
      return spot;
    }
    const std::string rise = text::number(target.value, 3) + " K";
    if (solved.too_cool) return {.missing = "below " + rise + " even at its slowest fan speed"};
    if (solved.read) return {.missing = "above " + rise + " even at its fastest fan speed"};
    const std::string by_load = no_load(target.load);
    return {.missing = !by_load.empty() ? by_load
                                        : fmt::format("no curve of rise against fan speed at {}",
                                                      watts(target.load))};
  }
  return at_speed(curves, levels, target.value, target.load, reach);
}

// The fastest speed whose rise is read between points; else the fastest that can be read at all;
// else the fastest of those that the chip's limit ended.
Target CoolerCurves::settle(const Target& target) const {
  if (target.kind != Target::Kind::fastest) return target;
  std::vector<double> speeds;
  for (const RiseLayout::Cell& cell : layout_.cells) speeds.push_back(1.0 / cell.slowness);
  for (const std::size_t i : layout_.bounds) speeds.push_back(cooler_->points[i].speed);
  std::sort(speeds.begin(), speeds.end(), std::greater<>());
  std::optional<double> read, bound;
  for (const double speed : speeds) {
    const auto rise = curves_.at(speed, target.load);
    if (rise && !rise->beyond) return {Target::Kind::speed, speed, target.load};
    if (rise && !read) read = speed;
    if (!bound && curves_.bound_at(speed, target.load)) bound = speed;
  }
  const double fallback = speeds.empty() ? 1.0 : speeds.front();
  return {Target::Kind::speed, bound.value_or(read.value_or(fallback)), target.load};
}

void CoolerCurves::add_notes(const Spot& base, Placed& out) const {
  const RiseReading& rise = *base.rise;
  if (rise.bound) out.notes.emplace_back("the chip's limit ended the run: at least so hot");
  if (rise.scaled > 0) {
    out.notes.push_back(fmt::format("in proportion from {}, its only load", watts(rise.scaled)));
  } else if (rise.beyond) {
    out.notes.emplace_back("read beyond its measured points");
  }
  if (base.level && base.level->bound) {
    out.notes.emplace_back("noise: at most so much, too near to the room or the meter's floor");
  } else if (base.level && base.level->beyond) {
    out.notes.emplace_back("noise read beyond its measured fan speeds");
  }
}

Placed CoolerCurves::place(const Target& asked) const {
  const Target target = settle(asked);
  const Spot base = find(curves_, levels_, target, furthest);
  Placed out;
  out.missing = base.missing;
  if (!out.missing.empty()) return out;
  out.speed = base.speed;
  add_doubts(base, target, out);
  out.rise = Valued{.value = target.kind == Target::Kind::rise ? target.value : base.rise->rise,
                    .u_own = out.of_rise.own(),
                    .u_bench = out.of_rise.bench,
                    .bound = base.rise->bound,
                    .beyond = base.rise->beyond};
  if (base.level) {
    // A level held equal is one number; what is doubtful about it went into the rise.
    const bool equal = target.kind == Target::Kind::level;
    out.level = Valued{.value = equal ? target.value : base.level->level,
                       .u_own = equal ? 0.0 : out.of_level.own(),
                       .u_bench = equal ? 0.0 : out.of_level.bench,
                       .bound = base.level->bound,
                       .beyond = base.level->beyond || (!equal && base.rise->beyond &&
                                                        target.kind == Target::Kind::rise)};
  }
  add_notes(base, out);
  if (out.doubt_lost) {
    out.notes.emplace_back("its doubt is told too small: part of it leads beyond its points");
  }
  return out;
}

}  // namespace libloop::evidence
