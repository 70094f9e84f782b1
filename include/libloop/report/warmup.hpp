// Warm-ups for people (text), for scripts (JSON) and for spreadsheets (CSV). The keys of the JSON
// and the columns of the CSV are described in docs/files.md.
//
//   const std::vector<libloop::WarmupCase> cases = {{libloop::steady(duty), {}, duty}};
//   std::fputs(libloop::report::text(model, predict_warmup(model, cases)).c_str(), stdout);
//
// The text opens with the answer in one sentence, of the slowest point, and ends with what to mind
// before running it. Text is rounded as far as the doubt allows, JSON and CSV to 12 digits. A point
// without an answer keeps its place: its values are null in JSON.
#pragma once

#include <string>

#include "libloop/warmup/prediction.hpp"

namespace libloop::report {

// How often JSON and CSV tell the typical course.
struct SeriesOptions {
  double every = 1.0;  // s; made longer where more rows than `most` would come of it
  int most = 3600;     // rows a point
};

// The three throw InputError (code call) where there is no point, `every` is no time, or a text
// would have no band to open with.
std::string text(const Model& model, const WarmupPrediction& prediction);
std::string json(const Model& model, const WarmupPrediction& prediction,
                 const SeriesOptions& options = {});
std::string csv(const Model& model, const WarmupPrediction& prediction,
                const SeriesOptions& options = {});

}  // namespace libloop::report
