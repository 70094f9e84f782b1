// A prediction or a comparison for people (text), for scripts (JSON) and for spreadsheets
// (CSV). The keys of the JSON are described in docs/files.md.
//
//   std::fputs(libloop::report::text(model, libloop::predict(model, duties)).c_str(), stdout);
//
// Text is rounded as far as the doubt allows, JSON and CSV to 12 digits. The text opens with the
// answer in one sentence and ends with what to mind before running the point; limits of the
// hardware stand right below the answer. A point without an answer keeps its place: its values are
// null in JSON, empty in CSV.
#pragma once

#include <string>

#include "libloop/model/predict.hpp"

namespace libloop::report {

std::string text(const Model& model, const Prediction& prediction);
std::string json(const Model& model, const Prediction& prediction);
std::string csv(const Model& model, const Prediction& prediction);

// The same for two coolers, the difference first; `alike` as in PredictOptions.
std::string text(const Model& cooler, const Model& other, const Comparison& comparison,
                 bool alike = false);
std::string json(const Model& cooler, const Model& other, const Comparison& comparison,
                 bool alike = false);
std::string csv(const Model& cooler, const Model& other, const Comparison& comparison);

}  // namespace libloop::report
