#include "libloop/evidence/common_points.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <string_view>
#include <vector>

#include "libloop/base/error.hpp"

namespace libloop {
namespace {

struct Range {
  double low, high;
};

std::vector<Range> ranges_of(std::span<const NoiseCurve> curves) {
  std::vector<Range> all;
  for (const NoiseCurve& curve : curves) {
    if (curve.points.empty()) continue;
    all.push_back({curve.points.front().level, curve.points.back().level});
  }
  return all;
}

std::size_t readable(const std::vector<Range>& ranges, double level) {
  return static_cast<std::size_t>(
      std::count_if(ranges.begin(), ranges.end(),
                    [&](const Range& range) { return range.low <= level && level <= range.high; }));
}

}  // namespace

double common_load(const MeasuredTable& table) {
  constexpr double alike = 0.01;
  if (table.points.empty()) {
    refuse(Code::missing, "no measured point", "A row needs a cooler, a load and a rise.");
  }
  std::vector<const MeasuredPoint*> sorted;
  for (const MeasuredPoint& point : table.points) sorted.push_back(&point);
  std::sort(sorted.begin(), sorted.end(),
            [](const MeasuredPoint* a, const MeasuredPoint* b) { return a->load < b->load; });
  // A window of loads that are alike moves along; how many points of each cooler are in it.
  std::map<std::string_view, int> inside;
  std::size_t first = 0, last = 0, most = 0;
  double best = sorted.front()->load;
  for (const MeasuredPoint* point : sorted) {
    const double load = point->load, reach = alike * std::abs(load);
    for (; last < sorted.size() && sorted[last]->load <= load + reach; ++last) {
      ++inside[sorted[last]->cooler];
    }
    for (; sorted[first]->load < load - reach; ++first) {
      const auto found = inside.find(sorted[first]->cooler);
      if (--found->second == 0) inside.erase(found);
    }
    if (inside.size() < most) continue;
    most = inside.size();
    best = load;
  }
  return best;
}

std::optional<double> common_level(std::span<const NoiseCurve> curves) {
  const std::vector<Range> ranges = ranges_of(curves);
  // The most overlap begins where some curve begins, and ends at the next end after it.
  std::optional<Range> best;
  std::size_t most = 1;
  for (const Range& one : ranges) {
    const std::size_t here = readable(ranges, one.low);
    if (here <= most) continue;
    most = here;
    best = Range{one.low, one.high};
    for (const Range& other : ranges) {
      const bool holds = other.low <= one.low && one.low <= other.high;
      if (holds) best->high = std::min(best->high, other.high);
    }
  }
  if (!best) return std::nullopt;
  const double middle = 0.5 * (best->low + best->high);
  const double whole = std::round(middle);
  return whole >= best->low && whole <= best->high ? whole : middle;
}

}  // namespace libloop
