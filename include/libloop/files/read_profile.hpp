// Reads how what the tester sets moves in time (docs/files.md, "Profiles").
//
//   time [min],load [W],fan [%]
//   0,40,100
//   10,180,100
//
// Every fault throws InputError, with all problems of the file at once.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "libloop/model/model.hpp"
#include "libloop/warmup/profile.hpp"

namespace libloop {

// Columns are quantities of `model`; values are SI, within the bounds of their quantity. Into
// `notes`, when given, goes what had to be assumed: one sentence each.
Profile read_profile(const std::string& path, const Model& model,
                     std::vector<std::string>* notes = nullptr);

// The same from text; `file` is only what messages call it.
Profile parse_profile(std::string_view text, const std::string& file, const Model& model,
                      std::vector<std::string>* notes = nullptr);

}  // namespace libloop
