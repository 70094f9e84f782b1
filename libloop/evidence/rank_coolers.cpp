#include "libloop/evidence/rank_coolers.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "libloop/base/text.hpp"
#include "libloop/quantity/unit.hpp"

namespace libloop::evidence {
namespace {

constexpr double usual_doubt = 0.3;  // K, of a point that tells none; judgement

bool usable(const MeasuredPoint& point) {
  return std::isfinite(point.rise) && point.rise > 0.0 && std::isfinite(point.load) &&
         point.load > 0.0;
}

bool turns(const std::optional<double>& speed) {
  return speed && std::isfinite(*speed) && *speed > 0.0;
}

std::optional<double> finite(const std::optional<double>& level) {
  return level && std::isfinite(*level) ? level : std::nullopt;
}

bool at_rest(const MeasuredPoint& point) {
  const bool told = point.fan_speed || point.fan_share;
  return told && !turns(point.fan_speed) && !turns(point.fan_share);
}

double rated_speed(const std::vector<const MeasuredPoint*>& points) {
  double sum = 0.0;
  int count = 0;
  for (const MeasuredPoint* point : points) {
    if (!turns(point->fan_speed) || !turns(point->fan_share)) continue;
    sum += *point->fan_speed / *point->fan_share;
    ++count;
  }
  return count > 0 ? sum / count : 0.0;
}

std::optional<double> speed_of(const MeasuredPoint& point, SpeedKind kind, double rated) {
  if (kind == SpeedKind::none) return 1.0;
  const bool share = kind == SpeedKind::share;
  const std::optional<double>& own = share ? point.fan_share : point.fan_speed;
  const std::optional<double>& other = share ? point.fan_speed : point.fan_share;
  if (turns(own)) return own;
  if (!turns(other) || rated <= 0.0) return std::nullopt;
  return share ? *other / rated : *other * rated;
}

using Points = std::vector<const MeasuredPoint*>;

void choose_speed(MeasuredCooler& cooler, const Points& points, SpeedKind wanted) {
  const auto tellers = [&](SpeedKind kind) {
    return std::count_if(points.begin(), points.end(), [&](const MeasuredPoint* point) {
      return speed_of(*point, kind, cooler.rated).has_value();
    });
  };
  const auto share = tellers(SpeedKind::share), absolute = tellers(SpeedKind::absolute);
  if (wanted == SpeedKind::none) {
    if (share + absolute > 0) {
      cooler.kind = share >= absolute ? SpeedKind::share : SpeedKind::absolute;
    }
    return;
  }
  cooler.kind = wanted;
  if ((wanted == SpeedKind::share ? share : absolute) > 0) return;
  const bool stopped = std::any_of(points.begin(), points.end(),
                                   [](const MeasuredPoint* point) { return at_rest(*point); });
  cooler.missing = wanted == SpeedKind::share
                       ? "its points tell no fan speed as a share of rated speed"
                       : "its points tell no fan speed in rpm";
  if (share + absolute > 0) cooler.missing += ", and none of them tells both";
  if (stopped && share + absolute == 0) cooler.missing = "its fans stand still at every point";
}

void note_dropped(MeasuredCooler& cooler, int faulty, int stopped, int untold) {
  if (faulty > 0) {
    cooler.notes.push_back(
        fmt::format("{} of its points without a positive rise or load not used", faulty));
  }
  if (stopped > 0) {
    cooler.notes.push_back(fmt::format("{} of its points with fans at rest not used", stopped));
  }
  if (untold > 0) {
    cooler.notes.push_back(
        fmt::format("{} of its points tell no fan speed {}: not used", untold,
                    cooler.kind == SpeedKind::share ? "as a share of rated speed" : "in rpm"));
  }
}

void note_unsettled(MeasuredCooler& cooler, int unsettled) {
  if (unsettled == 0) return;
  cooler.unsettled = true;
  cooler.notes.push_back(
      unsettled == 1
          ? std::string("1 of its points had not settled: its rise there may be more")
          : fmt::format("{} of its points had not settled: its rise there may be more", unsettled));
}

MeasuredCooler cooler_of(const std::string& title, const Points& points, const Dates& dates,
                         SpeedKind wanted, int& assumed) {
  MeasuredCooler cooler;
  cooler.title = title;
  cooler.rated = rated_speed(points);
  choose_speed(cooler, points, wanted);
  cooler.predicted = points.front()->predicted;
  if (!cooler.missing.empty()) return cooler;

  // Mountings are numbered by points that were held: bounds have no part in their scatter.
  std::map<int, std::size_t> mounts;
  for (const bool held : {true, false}) {
    for (const MeasuredPoint* point : points) {
      if (point->held == held && usable(*point) && speed_of(*point, cooler.kind, cooler.rated)) {
        mounts.try_emplace(point->mount, mounts.size());
      }
    }
    if (held) cooler.mounts = mounts.size();
  }
  int faulty = 0, stopped = 0, untold = 0, unsettled = 0;
  for (const MeasuredPoint* point : points) {
    const std::optional<double> speed = speed_of(*point, cooler.kind, cooler.rated);
    if (!usable(*point)) {
      ++faulty;
    } else if (!speed) {
      ++(at_rest(*point) ? stopped : untold);
    } else {
      const bool stated = point->u && std::isfinite(*point->u) && *point->u > 0.0;
      if (!stated) ++assumed;
      if (!point->settled) ++unsettled;
      cooler.points.push_back({.load = point->load,
                               .speed = *speed,
                               .rise = point->rise,
                               .u = stated ? *point->u : usual_doubt,
                               .mount = mounts.at(point->mount),
                               .state = dates.of(*point),
                               .held = point->held,
                               .level = finite(point->level),
                               .level_bound = point->level_bound});
    }
  }
  note_dropped(cooler, faulty, stopped, untold);
  note_unsettled(cooler, unsettled);
  if (cooler.points.empty()) cooler.missing = "none of its points has a positive rise and load";
  return cooler;
}

}  // namespace

std::string speed_text(SpeedKind kind, double speed) {
  if (kind == SpeedKind::none) return "the one setting measured";
  return show(speed, kind == SpeedKind::share ? "%" : "rpm", 4);
}

std::vector<MeasuredCooler> gather(const MeasuredTable& table, const Dates& dates, SpeedKind wanted,
                                   int& assumed) {
  using Key = std::pair<std::string, bool>;  // one measured and predicted is two
  std::vector<Key> keys;
  std::map<Key, Points> points;
  for (const MeasuredPoint& point : table.points) {
    Points& own = points[{point.cooler, point.predicted}];
    if (own.empty()) keys.emplace_back(point.cooler, point.predicted);
    own.push_back(&point);
  }
  std::vector<MeasuredCooler> coolers;
  for (const Key& key : keys) {
    const bool twice = key.second && points.count({key.first, false}) > 0;
    coolers.push_back(cooler_of(twice ? key.first + " (predicted)" : key.first, points[key], dates,
                                wanted, assumed));
  }
  return coolers;
}

}  // namespace libloop::evidence
