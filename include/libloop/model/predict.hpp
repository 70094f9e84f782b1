// Predictions with intervals: what the tester reads before the parcel arrives.
//
//   const libloop::Prediction p = libloop::predict(libloop::Model(cooler, bench), {{.load = 180}});
//   p.points[0].at(libloop::Answer::rise).p50
//
// Every quantity that is not exact is drawn from its range (Latin hypercube, fixed seed);
// the same draws serve every duty and, in a comparison, both coolers: quantities of scope
// bench and law take one common value, the rest vary freely.
#pragma once

#include <array>
#include <span>
#include <string>
#include <vector>

#include "libloop/model/model.hpp"

namespace libloop {

struct Interval {
  double p05 = 0.0, p50 = 0.0, p95 = 0.0;
  double typical = 0.0;  // the answer at the typical values: not the median when ranges are skewed
};

using Intervals = std::array<Interval, answer_count>;

struct PredictedPoint {
  Duty duty;
  OperatingPoint typical;
  Intervals answer;
  // Of every chip and radiator, in the order of `typical`.
  std::vector<Interval> chip_rise, radiator_conductance;
  // The rise from the exact slopes alone, in log rise over the transformed quantities, and
  // the largest distance of its ends from the sampled ones.
  double gradient_p05 = 0.0, gradient_p95 = 0.0, interval_gap = 0.0;
  double above_limit = 0.0;  // share of the samples whose chip passes its limit
  int samples = 0;           // with an answer
  int without_answer = 0;    // and without
  std::string why_without;   // one sentence; empty when all have one

  const Interval& at(Answer a) const { return answer[static_cast<std::size_t>(a)]; }
};

// How much one quantity's doubt moves the rise of the hottest point: half the distance
// between its 5 and 95 % points, with sign of the slope.
struct Matter {
  std::string quantity;
  double effect = 0.0;  // K
  const Row* row = nullptr;
  Range range;
  bool given = false;
};

struct Prediction {
  std::vector<PredictedPoint> points;
  std::vector<Matter> matters;    // largest first
  std::size_t matters_point = 0;  // the point they belong to: the hottest at typical values
};

struct PredictOptions {
  int samples = 400;  // 0: typical values only
  unsigned long long seed = 1;
  bool copy = false;  // draw for a second cooler, independent of the first
  // With a second cooler: what both have by one name is drawn together, as it should be for
  // two arrangements of the same parts.
  bool alike = false;
};

// Throws InputError when duties are out of bounds or there is none.
Prediction predict(const Model& model, std::span<const Duty> duties,
                   const PredictOptions& options = {});

struct Comparison {
  Prediction cooler, other;
  std::vector<Intervals> difference;  // cooler less other, by point
};

// `duties` of the cooler and `other_duties` of the other, point by point. Both models
// should stand on the same bench.
Comparison compare(const Model& cooler, const Model& other, std::span<const Duty> duties,
                   std::span<const Duty> other_duties, const PredictOptions& options = {});

}  // namespace libloop
