// A picture of a loop at an operating point: what runs where, how much, at what pressure and
// temperature. As text for a terminal, and as DOT for Graphviz.
//
//   libloop::Solver solver(model);
//   const libloop::OperatingPoint point = solver.solve({.load = 180});
//   std::fputs(libloop::report::picture(model, point).c_str(), stdout);
//
// Both follow the flow: a part that is passed from its outlet to its inlet stands where the
// flow meets it. A point without an answer has no picture: both are empty then.
#pragma once

#include <string>

#include "libloop/model/predict.hpp"

namespace libloop::report {

// At most page_width columns of UTF-8, coolant first, then air. A part is one line; its
// numbers are its flow, what it does to the pressure, and pressure and temperature behind it.
std::string picture(const Model& model, const OperatingPoint& point);

// One digraph in the DOT language; every name of the user's is escaped.
std::string graphviz(const Model& model, const OperatingPoint& point);

// The first point of a prediction as `libloop draw` tells it: the answer in one sentence,
// limits, the picture, notes; or everything in one JSON object (docs/files.md).
std::string drawing_text(const Model& model, const Prediction& prediction);
std::string drawing_json(const Model& model, const Prediction& prediction);

}  // namespace libloop::report
