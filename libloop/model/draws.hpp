// Samples of a model's uncertain quantities, and intervals of what comes of them.
#pragma once

#include <cstddef>
#include <limits>
#include <vector>

#include "libloop/model/predict.hpp"
#include "libloop/quantity/range.hpp"

namespace libloop {

// What a sample without an answer holds; never leaves the model's own files.
inline constexpr double no_answer = std::numeric_limits<double>::quiet_NaN();

// An uncertain quantity with its map and its draws.
struct Draw {
  std::size_t quantity;
  Spread spread;
  std::vector<double> z;
};

// Every quantity that is not exact. A second cooler (`copy`) shares what is common to all
// coolers on a bench, and more where both are `alike`.
std::vector<Draw> draws(const Model& model, const PredictOptions& options);

// Writes one sample into `values`.
void apply(const std::vector<Draw>& drawn, int sample, std::vector<double>& values);

// Throws InputError.
void check_samples(int samples);

// 5, 50 and 95 % points of what has an answer.
Interval interval_of(std::vector<double> values, double typical);

}  // namespace libloop
