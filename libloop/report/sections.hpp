// The sections that the texts of a prediction and of a comparison are made of.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "libloop/model/predict.hpp"

namespace libloop::report {

// A cooler with its answers; `name` tells two coolers apart and is empty when there is one.
struct Told {
  const Model& model;
  const Prediction& prediction;
  std::string name;
};

// Whether a point of a comparison has an answer for both coolers.
bool both_usable(const Comparison& comparison, std::size_t point);

// Limits that were passed, one loud paragraph each.
std::string cautions(const std::vector<Told>& all);
// What the answers stand on: cooler, bench, air, number of samples.
std::string basis(const std::vector<Told>& all);
// What two coolers differ by, first less second; `alike` as in PredictOptions.
std::string difference(const std::string& first, const std::string& second,
                       const Comparison& comparison, bool alike);
std::string points(const Told& told);
// Each chip and each radiator; empty for a loop with one.
std::string chips(const Told& told);
std::string radiators(const Told& told);
// Where the kelvins go, point by point; of several chips first all at the hottest point.
std::string budget(const Told& told);
std::string chip_budgets(const Told& told);
std::string matters(const Told& told);
// Laws outside their range, states, points and samples without an answer.
std::string notes(const std::vector<Told>& all);
// What can hurt people or hardware, whoever runs a point.
std::string before_you_run();

}  // namespace libloop::report
