#include "libloop/evidence/rank_value.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

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
std::string kelvins(double rise) { return text::number(rise, 3) + " K"; }

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
  if (curves_.reaches(speed, load)) {
    return fmt::format("its curve goes on to a rise of 0 K or less at {}",
                       speed_text(cooler_->kind, speed));
  }
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

std::vector<double> CoolerCurves::speeds() const {
  std::vector<double> all;
  for (const RiseLayout::Cell& cell : layout_.cells) all.push_back(1.0 / cell.slowness);
  for (const std::size_t i : layout_.bounds) all.push_back(cooler_->points[i].speed);
  std::sort(all.begin(), all.end());
  return all;
}

// Never so loud: its fans cannot be faster, so what it has at its fastest is its best.
CoolerCurves::Spot CoolerCurves::fastest_below(const RiseCurves& curves, const LevelCurve& levels,
                                               const Target& target, double reach) const {
  const double speed = settle({Target::Kind::fastest, 0.0, target.load}).value;
  Spot spot = at_speed(curves, levels, speed, target.load, reach);
  spot.end = spot.missing.empty() && spot.level && spot.level->level <= target.value;
  return spot;
}

// Never so hot: its fans may be slower still, so its level is at most that of its slowest.
CoolerCurves::Spot CoolerCurves::slowest_below(const RiseCurves& curves, const LevelCurve& levels,
                                               const Target& target, double reach) const {
  for (const bool beyond : {false, true}) {
    for (const double speed : speeds()) {
      Spot spot = at_speed(curves, levels, speed, target.load, reach);
      if (!spot.missing.empty() || !spot.level || spot.rise->bound) continue;
      if (spot.rise->beyond != beyond || spot.rise->rise > target.value) continue;
      spot.level->bound = true;
      spot.end = true;
      return spot;
    }
  }
  return {};
}

CoolerCurves::Spot CoolerCurves::find(const RiseCurves& curves, const LevelCurve& levels,
                                      const Target& target, double reach) const {
  if (target.kind == Target::Kind::level) {
    const LevelCurve::Solved solved = levels.speed_at(target.value, reach);
    if (!solved.speed) {
      const Spot end = fastest_below(curves, levels, target, reach);
      if (end.end) return end;
      return {.missing = no_speed_for_level(solved, target.value)};
    }
    return at_speed(curves, levels, *solved.speed, target.load, reach);
  }
  if (target.kind == Target::Kind::rise) {
    const RiseCurves::Solved solved = curves.speed_at(target.value, target.load, reach);
    if (solved.speed) {
      Spot spot = at_speed(curves, levels, *solved.speed, target.load, reach);
      if (spot.missing.empty() && !spot.level) {
        spot.missing = fmt::format("no noise is known at {}, where its rise is {}",
                                   speed_text(cooler_->kind, spot.speed), kelvins(target.value));
      }
      return spot;
    }
    const std::string rise = kelvins(target.value);
    if (solved.too_cool || !solved.read) {  // unread also with a single speed
      const Spot end = slowest_below(curves, levels, target, reach);
      if (end.end) return end;
    }
    if (solved.too_cool) {
      return {.missing = "below " + rise + " even at its slowest fan speed, and no noise known"};
    }
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
  std::vector<double> fastest = speeds();
  std::reverse(fastest.begin(), fastest.end());
  std::optional<double> read, bound;
  for (const double speed : fastest) {
    const auto rise = curves_.at(speed, target.load);
    if (rise && !rise->beyond) return {Target::Kind::speed, speed, target.load};
    if (rise && !read) read = speed;
    if (!bound && curves_.bound_at(speed, target.load)) bound = speed;
  }
  const double fallback = fastest.empty() ? 1.0 : fastest.front();
  return {Target::Kind::speed, bound.value_or(read.value_or(fallback)), target.load};
}

void CoolerCurves::add_notes(const Spot& base, const Target& asked, Placed& out) const {
  const RiseReading& rise = *base.rise;
  if (base.end && asked.kind == Target::Kind::rise) {
    out.notes.push_back(
        fmt::format("below {} even at its slowest measured fan speed ({} there): at most as loud "
                    "as it is there",
                    kelvins(asked.value), kelvins(rise.rise)));
  } else if (base.end) {
    out.notes.push_back(fmt::format(
        "never louder than {}, even at its fastest measured fan speed: its rise is the one there",
        decibels(asked.value)));
  }
  if (rise.bound) out.notes.emplace_back("the chip's limit ended the run: at least so hot");
  if (rise.scaled > 0) {
    out.notes.push_back(fmt::format("in proportion from {}, its only load", watts(rise.scaled)));
  } else if (rise.beyond) {
    out.notes.emplace_back("read beyond its measured points");
  }
  const bool slowest = base.end && asked.kind == Target::Kind::rise;
  if (base.level && base.level->bound && !slowest) {
    out.notes.emplace_back("noise: at most so much, too near to the room or the meter's floor");
  } else if (base.level && base.level->beyond) {
    out.notes.emplace_back("noise read beyond its measured fan speeds");
  }
}

Placed CoolerCurves::place(const Target& asked) const {
  Target target = settle(asked);
  const Spot base = find(curves_, levels_, target, furthest);
  Placed out;
  out.missing = base.missing;
  if (!out.missing.empty()) return out;
  out.speed = base.speed;
  out.ahead = base.end && target.kind == Target::Kind::rise;
  if (base.end) target = {Target::Kind::speed, base.speed, target.load};
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
  add_notes(base, asked, out);
  if (out.doubt_lost) {
    out.notes.emplace_back("its doubt is told too small: part of it leads beyond its points");
  }
  return out;
}

}  // namespace libloop::evidence
