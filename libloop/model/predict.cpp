#include "libloop/model/predict.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "libloop/base/error.hpp"
#include "libloop/model/draws.hpp"

namespace libloop {
namespace {

constexpr double z95 = 1.6448536269514722;
std::size_t at(Answer a) { return static_cast<std::size_t>(a); }

// One sample's answers, then the rise of every chip and the conductance of every radiator;
// NaN where there is none.
using Sample = std::vector<double>;
using Sampled = std::vector<std::vector<Sample>>;  // duty, sample

Sample sample_of(const OperatingPoint& p, std::size_t chips, std::size_t radiators) {
  if (!p.summary.usable) return Sample(answer_count + chips + radiators, no_answer);
  Sample sample(p.answer.begin(), p.answer.end());
  // A single chip and a single radiator are the answers themselves.
  if (p.chips.empty()) sample.push_back(p[Answer::rise]);
  if (p.chips.empty()) sample.push_back(p[Answer::conductance]);
  for (const ChipPoint& chip : p.chips) sample.push_back(chip.rise);
  for (const RadiatorPoint& radiator : p.radiators) sample.push_back(radiator.conductance);
  return sample;
}

Sampled sample(const Model& model, std::span<const Duty> duties, const std::vector<Draw>& drawn,
               int samples, std::vector<PredictedPoint>& points) {
  Sampled all(duties.size());
  std::vector<Solver> solvers;
  for (const Duty& duty : duties) {
    solvers.emplace_back(model);
    solvers.back().solve(duty);
  }
  std::vector<double> values = model.typical(duties.front());
  for (int s = 0; s < samples; ++s) {
    apply(drawn, s, values);
    for (std::size_t d = 0; d < duties.size(); ++d) {
      model.set_duty(duties[d], values);
      const OperatingPoint p = solvers[d].resolve(values);
      all[d].push_back(
          sample_of(p, points[d].typical.chips.size(), points[d].typical.radiators.size()));
      points[d].samples += p.summary.usable ? 1 : 0;
      points[d].above_limit += p.summary.usable && p.margin < 0.0 ? 1.0 : 0.0;
      points[d].without_answer += p.summary.usable ? 0 : 1;
      if (!p.summary.usable) points[d].why_without = p.summary.why;
    }
  }
  for (PredictedPoint& point : points) point.above_limit /= std::max(1, point.samples);
  return all;
}

// First order: ln rise is linear in the standard normals.
std::vector<Matter> add_gradient(const Model& model, const std::vector<Draw>& drawn, Solver& solver,
                                 PredictedPoint& point) {
  const double rise = point.typical[Answer::rise];
  const Slopes slopes = solver.slopes();
  double variance = 0.0;
  std::map<std::string, std::pair<double, Matter>> by_base;  // copies of one quantity together
  for (const Draw& draw : drawn) {
    const Quantity& q = model.quantities()[draw.quantity];
    const double by_z = slopes.at(Answer::rise, draw.quantity) * draw.spread.slope(0.0);
    variance += by_z * by_z;
    auto& [square, matter] = by_base[q.base];
    square += by_z * by_z;
    matter = {q.base, std::copysign(z95 * std::sqrt(square), by_z), q.row, q.range, q.given};
  }
  const double sigma = rise > 0.0 ? std::sqrt(variance) / rise : 0.0;
  point.gradient_p05 = rise * std::exp(-z95 * sigma);
  point.gradient_p95 = rise * std::exp(z95 * sigma);
  std::vector<Matter> matters;
  for (const auto& [base, entry] : by_base) matters.push_back(entry.second);
  std::sort(matters.begin(), matters.end(), [](const Matter& a, const Matter& b) {
    if (std::abs(a.effect) != std::abs(b.effect)) return std::abs(a.effect) > std::abs(b.effect);
    return a.quantity < b.quantity;
  });
  return matters;
}

void check(std::span<const Duty> duties, const PredictOptions& options) {
  if (duties.empty()) {
    throw InputError(Problem{Code::call, "no point to predict", "Give at least one load.", {}});
  }
  check_samples(options.samples);
}

Prediction predict_sampled(const Model& model, std::span<const Duty> duties,
                           const PredictOptions& options, Sampled& sampled) {
  check(duties, options);
  Prediction prediction;
  const std::vector<Draw> drawn = draws(model, options);
  Solver solver(model);
  double hottest = -std::numeric_limits<double>::infinity();
  for (const Duty& duty : duties) {
    PredictedPoint point;
    point.duty = duty;
    point.typical = solver.solve(duty);
    if (point.typical.summary.usable) {
      std::vector<Matter> matters = add_gradient(model, drawn, solver, point);
      if (point.typical[Answer::rise] > hottest) {
        hottest = point.typical[Answer::rise];
        prediction.matters = std::move(matters);
        prediction.matters_point = prediction.points.size();
      }
    }
    prediction.points.push_back(std::move(point));
  }
  sampled = sample(model, duties, drawn, options.samples, prediction.points);
  for (std::size_t d = 0; d < duties.size(); ++d) {
    PredictedPoint& point = prediction.points[d];
    const auto interval_at = [&](std::size_t k, double typical) {
      std::vector<double> values;
      for (const Sample& sample : sampled[d]) values.push_back(sample[k]);
      return interval_of(std::move(values), typical);
    };
    for (const AnswerRow& row : answer_rows) {
      point.answer[at(row.answer)] = interval_at(at(row.answer), point.typical[row.answer]);
    }
    std::size_t k = answer_count;
    for (const ChipPoint& chip : point.typical.chips) {
      point.chip_rise.push_back(interval_at(k++, chip.rise));
    }
    for (const RadiatorPoint& radiator : point.typical.radiators) {
      point.radiator_conductance.push_back(interval_at(k++, radiator.conductance));
    }
    const Interval& rise = point.at(Answer::rise);
    point.interval_gap =
        std::max(std::abs(rise.p05 - point.gradient_p05), std::abs(rise.p95 - point.gradient_p95));
  }
  return prediction;
}

}  // namespace

Prediction predict(const Model& model, std::span<const Duty> duties,
                   const PredictOptions& options) {
  Sampled sampled;
  return predict_sampled(model, duties, options, sampled);
}

Comparison compare(const Model& cooler, const Model& other, std::span<const Duty> duties,
                   std::span<const Duty> other_duties, const PredictOptions& options) {
  if (duties.size() != other_duties.size()) {
    throw InputError(Problem{Code::call, "the two coolers have unlike numbers of points", "", {}});
  }
  Comparison comparison;
  Sampled a, b;
  comparison.cooler = predict_sampled(cooler, duties, options, a);
  PredictOptions copy = options;
  copy.copy = true;
  comparison.other = predict_sampled(other, other_duties, copy, b);
  for (std::size_t d = 0; d < duties.size(); ++d) {
    Intervals difference;
    for (const AnswerRow& row : answer_rows) {
      const std::size_t k = at(row.answer);
      std::vector<double> values;
      for (std::size_t s = 0; s < a[d].size(); ++s) values.push_back(a[d][s][k] - b[d][s][k]);
      difference[k] =
          interval_of(std::move(values), comparison.cooler.points[d].typical[row.answer] -
                                             comparison.other.points[d].typical[row.answer]);
    }
    comparison.difference.push_back(difference);
  }
  return comparison;
}

}  // namespace libloop
