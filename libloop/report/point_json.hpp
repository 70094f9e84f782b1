// A point as JSON, piece by piece: the pieces that predictions and pictures share.
#pragma once

#include "libloop/model/predict.hpp"
#include "libloop/report/json_parts.hpp"

namespace libloop::report {

// All null when `usable` is false.
Json json_interval(const Interval& values, bool usable);
Json json_budget(const std::array<double, budget_rows.size()>& budget, bool usable);

Json json_duty(const Model& model, const Duty& duty);
Json json_notes(const std::vector<Note>& all);
Json json_chips(const PredictedPoint& point);
Json json_radiators(const PredictedPoint& point);
Json json_parts(const OperatingPoint& point);

}  // namespace libloop::report
