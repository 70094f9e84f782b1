// A cooler that was never measured, as points of a table: so that it can stand among measured
// ones in a ranking (evidence/ranking.hpp).
//
//   for (const auto& point : libloop::expected_points(model, duties).points)
//     table.points.push_back(point);
#pragma once

#include <span>
#include <vector>

#include "libloop/evidence/measured.hpp"
#include "libloop/model/predict.hpp"

namespace libloop {

struct Expected {
  std::vector<MeasuredPoint> points;  // one a duty, marked as predicted
  std::vector<LeftOut> left_out;      // duties without an answer, and why
};

// Rise and level are medians; u is the 5-95 % interval over 3.29, as wide as a normal one would
// be. All points of one cooler stand on the same doubtful parts: a ranking moves them together.
// What two predicted coolers share is not taken out of their doubt. Throws as predict() does.
Expected expected_points(const Model& model, std::span<const Duty> duties,
                         const PredictOptions& options = {});

}  // namespace libloop
