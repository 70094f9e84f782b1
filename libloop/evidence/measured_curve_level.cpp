#include <algorithm>
#include <cmath>

#include "libloop/evidence/measured_curve.hpp"

namespace libloop::evidence {
namespace {

constexpr double beyond_share = 0.25;  // judgement, as for the rise
constexpr double same_level = 0.05;    // dB; judgement: half of the last digit of a meter

// Levels of one setting are averaged as energies.
double energy_mean(const std::vector<double>& levels) {
  if (levels.size() == 1) return levels.front();
  const double top = *std::max_element(levels.begin(), levels.end());
  double sum = 0.0;
  for (const double one : levels) sum += std::pow(10.0, 0.1 * (one - top));
  return top + 10.0 * std::log10(sum / static_cast<double>(levels.size()));
}

struct Setting {
  std::vector<double> speeds, values, bounds;
  double speed() const {
    double sum = 0.0;
    for (const double one : speeds) sum += one;
    return sum / static_cast<double>(speeds.size());
  }
};

std::vector<Setting> settings(std::span<const UsedPoint> points) {
  std::vector<const UsedPoint*> sorted;
  for (const UsedPoint& point : points) {
    if (point.level) sorted.push_back(&point);
  }
  std::stable_sort(sorted.begin(), sorted.end(),
                   [](const auto* a, const auto* b) { return a->speed < b->speed; });
  std::vector<Setting> out;
  for (const UsedPoint* point : sorted) {
    if (out.empty() || point->speed > out.back().speeds.front() * (1.0 + same_speed)) {
      out.emplace_back();
    }
    out.back().speeds.push_back(point->speed);
    (point->level_bound ? out.back().bounds : out.back().values).push_back(*point->level);
  }
  return out;
}

}  // namespace

LevelCurve::LevelCurve(std::span<const UsedPoint> points) {
  for (const Setting& one : settings(points)) {
    if (!one.values.empty()) {
      nodes_.push_back({one.speed(), energy_mean(one.values)});
    } else {
      bounds_.push_back({one.speed(), *std::min_element(one.bounds.begin(), one.bounds.end())});
    }
  }
}

LevelCurve LevelCurve::shifted(double by) const {
  LevelCurve out = *this;
  for (Node& node : out.nodes_) node.level += by;
  return out;
}

double LevelCurve::slope(std::size_t i) const {
  return (nodes_[i + 1].level - nodes_[i].level) / std::log(nodes_[i + 1].speed / nodes_[i].speed);
}

std::optional<LevelReading> LevelCurve::at(double speed, double reach) const {
  const auto within = [&](double by) {
    return !nodes_.empty() && speed >= nodes_.front().speed * (1.0 - by) &&
           speed <= nodes_.back().speed * (1.0 + by);
  };
  const bool inside = within(same_speed);
  for (const Node& bound : bounds_) {
    const bool here = std::abs(bound.speed / speed - 1.0) <= same_speed;
    if (here && !inside) return LevelReading{.level = bound.level, .bound = true};
  }
  if (nodes_.size() == 1 && inside) return LevelReading{.level = nodes_.front().level};
  if (nodes_.size() > 1 && within(std::max(reach, same_speed))) {
    std::size_t i = 0;
    while (i + 2 < nodes_.size() && speed > nodes_[i + 1].speed) ++i;
    const Node &a = nodes_[i], &b = nodes_[i + 1];
    const double level = a.level + slope(i) * std::log(speed / a.speed);
    const double line = a.level + (b.level - a.level) * (speed - a.speed) / (b.speed - a.speed);
    double doubt = 0.5 * std::abs(level - line);
    if (speed < a.speed) doubt = beyond_share * std::abs(level - a.level);
    if (speed > b.speed) doubt = beyond_share * std::abs(level - b.level);
    return LevelReading{.level = level, .doubt = doubt, .beyond = !inside};
  }
  for (const Node& bound : bounds_) {  // a slower fan is no louder
    if (bound.speed >= speed) return LevelReading{.level = bound.level, .bound = true};
  }
  return std::nullopt;
}

LevelCurve::Solved LevelCurve::speed_at(double level, double reach) const {
  Solved out;
  out.measured = static_cast<int>(nodes_.size());
  if (nodes_.empty()) return out;
  const auto louder = [](const Node& a, const Node& b) { return a.level < b.level; };
  out.quietest = std::min_element(nodes_.begin(), nodes_.end(), louder)->level;
  out.loudest = std::max_element(nodes_.begin(), nodes_.end(), louder)->level;
  for (std::size_t i = nodes_.size(); i-- > 0;) {
    if (nodes_[i].level == level) {
      out.speed = nodes_[i].speed;
      return out;
    }
    if (i == 0 || (nodes_[i].level > level) == (nodes_[i - 1].level > level)) continue;
    out.speed = nodes_[i - 1].speed * std::exp((level - nodes_[i - 1].level) / slope(i - 1));
    return out;
  }
  if (nodes_.size() == 1) {
    if (std::abs(nodes_.front().level - level) <= same_level) out.speed = nodes_.front().speed;
    return out;
  }
  const bool above = level > out.loudest;
  const std::size_t segment = above ? nodes_.size() - 2 : 0;
  const Node& end = above ? nodes_.back() : nodes_.front();
  if (slope(segment) <= 0.0) return out;
  const double speed = end.speed * std::exp((level - end.level) / slope(segment));
  if (speed > end.speed * (1.0 + reach) || speed < end.speed * (1.0 - reach)) return out;
  out.speed = speed;
  out.beyond = speed > end.speed * (1.0 + same_speed) || speed < end.speed * (1.0 - same_speed);
  return out;
}

}  // namespace libloop::evidence
