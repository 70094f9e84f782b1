#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>

#include "libloop/evidence/measured_curve.hpp"

namespace libloop::evidence {
namespace {

// Judgement: a rise scaled in proportion to the load is off by a tenth of the change; one read
// beyond the measured speeds by a quarter of it.
constexpr double scaling_share = 0.10, beyond_share = 0.25;

double straight(double x0, double y0, double x1, double y1, double x) {
  return y0 + (y1 - y0) * (x - x0) / (x1 - x0);
}

// The root of a continuous function between two places of different sign.
template <class F>
double root(const F& f, double a, double fa, double b, double fb) {
  if (fa == 0.0) return a;
  if (fb == 0.0) return b;
  std::uintmax_t steps = 200;
  const auto [low, high] = boost::math::tools::toms748_solve(
      f, a, b, fa, fb, boost::math::tools::eps_tolerance<double>(52), steps);
  return low + 0.5 * (high - low);
}

}  // namespace

RiseCurves::RiseCurves(const RiseLayout& layout, std::span<const double> rises) : layout_(&layout) {
  const auto ratio = [&](std::size_t i) { return rises[i] / layout.points[i].load; };
  std::vector<MountPoint> fitted;
  for (std::size_t c = 0; c < layout.cells.size() && layout.mounts > 1; ++c) {
    for (const std::size_t i : layout.cells[c].points) {
      fitted.push_back({c, layout.points[i].mount, std::log(ratio(i))});
    }
  }
  mounts_ = fit_mounts(fitted, layout.mounts);
  for (const RiseLayout::Cell& cell : layout.cells) {
    double sum = 0.0;
    for (const std::size_t i : cell.points) {
      sum += ratio(i) * std::exp(-mounts_.shift[layout.points[i].mount]);
    }
    value_.push_back(sum / static_cast<double>(cell.points.size()));
  }
  for (const RiseLayout::Row& row : layout.rows) {
    std::vector<double> x, y;
    for (const std::size_t c : row.cells) {
      x.push_back(layout.cells[c].slowness);
      y.push_back(value_[c]);
    }
    curve_.push_back(x.size() > 1 ? std::optional<MonotoneCurve>(std::in_place, x, y)
                                  : std::nullopt);
  }
}

RiseCurves::Cover RiseCurves::cover(std::size_t row, double speed, double reach) const {
  const std::vector<std::size_t>& cells = layout_->rows[row].cells;
  const double fastest = 1.0 / layout_->cells[cells.front()].slowness;
  const double slowest = 1.0 / layout_->cells[cells.back()].slowness;
  const auto within = [&](double by) {
    return speed >= slowest * (1.0 - by) && speed <= fastest * (1.0 + by);
  };
  if (within(same_speed)) return Cover::inside;
  return cells.size() > 1 && within(reach) ? Cover::near : Cover::none;
}

// Rows that hold the speed well come before rows that must be continued, and a load between
// measured ones before a load beyond them.
std::optional<RiseCurves::Plan> RiseCurves::plan(double speed, double load, double reach) const {
  std::vector<std::size_t> inside, either;
  for (std::size_t row = 0; row < layout_->rows.size(); ++row) {
    const Cover here = cover(row, speed, reach);
    if (here == Cover::inside) inside.push_back(row);
    if (here != Cover::none) either.push_back(row);
  }
  for (const double by : {same_load, reach}) {
    for (const std::vector<std::size_t>* rows : {&inside, &either}) {
      if (rows->empty()) continue;
      const auto at = [&](std::size_t i) { return layout_->rows[(*rows)[i]].load; };
      const std::size_t last = rows->size() - 1;
      if (load < at(0) * (1.0 - by) || load > at(last) * (1.0 + by)) continue;
      Plan found;
      found.beyond_load = load < at(0) * (1.0 - same_load) || load > at(last) * (1.0 + same_load);
      if (last == 0) {
        found.terms = {{rows->front(), 1.0}};
      } else {
        std::size_t i = 0;
        while (i + 2 <= last && load > at(i + 1)) ++i;
        const double right = (load - at(i)) / (at(i + 1) - at(i));
        found.terms = {{(*rows)[i], 1.0 - right}, {(*rows)[i + 1], right}};
      }
      found.beyond = found.beyond_load;
      for (const Term& term : found.terms) {
        found.beyond |= term.weight != 0.0 && cover(term.row, speed, reach) == Cover::near;
      }
      return found;
    }
  }
  return std::nullopt;
}

double RiseCurves::row_at(std::size_t row, double slowness) const {
  return curve_[row] ? curve_[row]->at(slowness) : value_[layout_->rows[row].cells.front()];
}

// Half of what the curve differs from the straight line between its neighbours. Two points alone
// do not tell how a curve bends: there the line along the speed itself counts.
double RiseCurves::row_doubt(std::size_t row, double slowness) const {
  if (!curve_[row]) return 0.0;
  const std::span<const double> x = curve_[row]->x(), y = curve_[row]->y();
  const double here = curve_[row]->at(slowness);
  if (slowness < x.front()) return beyond_share * std::abs(here - y.front());
  if (slowness > x.back()) return beyond_share * std::abs(here - y.back());
  std::size_t i = 0;
  while (i + 2 < x.size() && slowness > x[i + 1]) ++i;
  const double line = x.size() == 2 ? straight(1.0 / x[0], y[0], 1.0 / x[1], y[1], 1.0 / slowness)
                                    : straight(x[i], y[i], x[i + 1], y[i + 1], slowness);
  return 0.5 * std::abs(here - line);
}

double RiseCurves::value(const Plan& plan, double speed, double load) const {
  double ratio = 0.0;
  for (const Term& term : plan.terms) ratio += term.weight * row_at(term.row, 1.0 / speed);
  return ratio * load;
}

double RiseCurves::load_doubt(const Plan& plan, double slowness, double load) const {
  const auto at = [&](std::size_t i) { return layout_->rows[plan.terms[i].row].load; };
  const double first = row_at(plan.terms[0].row, slowness);
  if (plan.terms.size() == 1) return scaling_share * std::abs(load - at(0)) * first;
  const double second = row_at(plan.terms[1].row, slowness);
  const double ratio = plan.terms[0].weight * first + plan.terms[1].weight * second;
  if (load < at(0)) return 0.5 * load * std::abs(ratio - first);
  if (load > at(1)) return 0.5 * load * std::abs(ratio - second);
  const double line = straight(at(0), first * at(0), at(1), second * at(1), load);
  return 0.5 * std::abs(ratio * load - line);
}

std::optional<RiseReading> RiseCurves::at(double speed, double load, double reach) const {
  const std::optional<Plan> found = plan(speed, load, reach);
  if (!found) return std::nullopt;
  RiseReading reading{.rise = value(*found, speed, load), .beyond = found->beyond};
  if (!(reading.rise > 0.0)) return std::nullopt;
  const double of_load = load_doubt(*found, 1.0 / speed, load);
  double squares = of_load * of_load;
  for (const Term& term : found->terms) {
    const double one = term.weight * load * row_doubt(term.row, 1.0 / speed);
    squares += one * one;
  }
  reading.doubt = std::sqrt(squares);
  if (found->terms.size() == 1 && found->beyond_load) {
    reading.scaled = layout_->rows[found->terms.front().row].load;
  }
  return reading;
}

// More load or a slower fan only adds to the rise, so a bound stands for those too, as far as
// points are continued elsewhere.
std::optional<RiseReading> RiseCurves::bound_at(double speed, double load) const {
  std::optional<RiseReading> best;
  for (const std::size_t i : layout_->bounds) {
    const UsedPoint& point = layout_->points[i];
    const bool load_fits =
        point.load <= load * (1.0 + same_load) && point.load >= load * (1.0 - furthest);
    const bool speed_fits =
        point.speed >= speed * (1.0 - same_speed) && point.speed <= speed * (1.0 + furthest);
    if (!load_fits || !speed_fits || (best && best->rise >= point.rise)) continue;
    best = RiseReading{.rise = point.rise, .doubt = point.u, .bound = true};
  }
  return best;
}

// Speeds between which no other row or piece of a curve begins, slowest first.
std::vector<double> RiseCurves::breaks(double reach) const {
  std::vector<double> all;
  for (const RiseLayout::Row& row : layout_->rows) {
    for (const std::size_t c : row.cells) all.push_back(1.0 / layout_->cells[c].slowness);
    if (row.cells.size() < 2) continue;
    all.push_back(1.0 / layout_->cells[row.cells.front()].slowness * (1.0 + reach));
    all.push_back(1.0 / layout_->cells[row.cells.back()].slowness * (1.0 - reach));
  }
  std::sort(all.begin(), all.end());
  all.erase(std::unique(all.begin(), all.end()), all.end());
  return all;
}

RiseCurves::Solved RiseCurves::speed_at(double rise, double load, double reach) const {
  Solved out;
  const std::vector<double> ends = breaks(reach);
  for (std::size_t i = 0; i + 1 < ends.size(); ++i) {
    const double slow = ends[i], fast = ends[i + 1];
    const std::optional<Plan> here = plan(0.5 * (slow + fast), load, reach);
    if (!here) continue;
    const auto over = [&](double speed) { return value(*here, speed, load) - rise; };
    const double at_slow = over(slow), at_fast = over(fast);
    if (at_slow <= 0.0) {
      // Cool enough where the first piece begins, or where two pieces do not quite meet.
      if (!out.read && at_slow < 0.0) return {.speed = {}, .too_cool = true, .read = true};
      out.read = true;
      out.speed = slow;
      return out;
    }
    out.read = true;
    if (at_fast > 0.0) continue;
    out.speed = root(over, slow, at_slow, fast, at_fast);
    return out;
  }
  return out;
}

}  // namespace libloop::evidence
