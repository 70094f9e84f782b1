#include <algorithm>
#include <cmath>

#include "libloop/evidence/measured_curve.hpp"

namespace libloop::evidence {
namespace {

using Indices = std::vector<std::size_t>;

// Cuts `which`, sorted by `value`, where a value is more than `tolerance` above the first of its
// piece.
template <class Value>
std::vector<Indices> clusters(Indices which, double tolerance, const Value& value) {
  std::stable_sort(which.begin(), which.end(),
                   [&](std::size_t a, std::size_t b) { return value(a) < value(b); });
  std::vector<Indices> out;
  for (const std::size_t i : which) {
    if (out.empty() || value(i) > value(out.back().front()) * (1.0 + tolerance)) out.push_back({});
    out.back().push_back(i);
  }
  return out;
}

template <class Value>
double mean(const Indices& which, const Value& value) {
  if (which.size() == 1) return value(which.front());
  double sum = 0.0;
  for (const std::size_t i : which) sum += value(i);
  return sum / static_cast<double>(which.size());
}

}  // namespace

RiseLayout lay_out(std::span<const UsedPoint> points) {
  RiseLayout layout;
  layout.points.assign(points.begin(), points.end());
  Indices held;
  for (std::size_t i = 0; i < points.size(); ++i) {
    (points[i].held ? held : layout.bounds).push_back(i);
    if (points[i].held) layout.mounts = std::max(layout.mounts, points[i].mount + 1);
  }
  const auto load = [&](std::size_t i) { return points[i].load; };
  const auto slowness = [&](std::size_t i) { return 1.0 / points[i].speed; };
  for (const Indices& at_load : clusters(held, same_load, load)) {
    RiseLayout::Row row{mean(at_load, load), {}};
    for (Indices& cell : clusters(at_load, same_speed, slowness)) {
      row.cells.push_back(layout.cells.size());
      layout.cells.push_back({mean(cell, load), mean(cell, slowness), std::move(cell)});
    }
    layout.rows.push_back(std::move(row));
  }
  return layout;
}

}  // namespace libloop::evidence
