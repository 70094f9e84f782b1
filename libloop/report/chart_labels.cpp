#include "libloop/report/chart_labels.hpp"

#include <algorithm>
#include <cmath>

namespace libloop::report {
namespace {

constexpr double clearance = 4.0;  // px, about a text
constexpr double crossing = 8.0;   // px, between a leader and what it crosses

Box grown(const Box& box) {
  return {box.left - clearance, box.top - clearance, box.right + clearance, box.bottom + clearance};
}

}  // namespace

void Labels::avoid(const std::vector<XY>& points, double weight) {
  for (const XY& point : points) ink_.push_back({point, weight});
}

std::optional<double> Labels::cost(const Candidate& candidate, double limit) const {
  const Box box = grown(box_of(candidate.text));
  if (!on_page(box)) return std::nullopt;
  for (const Box& other : boxes_) {
    if (overlap(box, other)) return std::nullopt;
  }
  double sum = candidate.cost;
  for (const Ink& spot : ink_) {
    if (holds(box, spot.at)) sum += spot.weight;
  }
  if (!candidate.leader || sum > limit) return sum;
  for (const XY& point : along({candidate.leader->from, candidate.leader->to}, crossing)) {
    for (const Box& other : boxes_) {
      if (holds(other, point)) return std::nullopt;
    }
    for (const Ink& spot : ink_) {
      const double dx = spot.at.x - point.x, dy = spot.at.y - point.y;
      if (dx * dx + dy * dy < crossing * crossing) sum += spot.weight;
    }
  }
  return sum;
}

std::optional<Candidate> Labels::place(const std::vector<Candidate>& candidates, double limit) {
  const Candidate* best = nullptr;
  double least = limit;
  for (const Candidate& candidate : candidates) {
    const std::optional<double> price = cost(candidate, least);
    if (!price || *price > least || (best != nullptr && *price == least)) continue;
    best = &candidate;
    least = *price;
  }
  if (best == nullptr) return std::nullopt;
  occupy(best->text);
  if (best->leader) avoid(along({best->leader->from, best->leader->to}), 1.0);
  return *best;
}

std::vector<XY> along(const std::vector<XY>& points, double every) {
  std::vector<XY> out;
  for (std::size_t i = 0; i + 1 < points.size(); ++i) {
    const double dx = points[i + 1].x - points[i].x, dy = points[i + 1].y - points[i].y;
    const int steps = std::max(1, static_cast<int>(std::hypot(dx, dy) / every));
    for (int k = 0; k < steps; ++k) {
      const double share = static_cast<double>(k) / steps;
      out.push_back({points[i].x + share * dx, points[i].y + share * dy});
    }
  }
  if (!points.empty()) out.push_back(points.back());
  return out;
}

}  // namespace libloop::report
