// JSON helpers of the reports. Never in a public header: nlohmann-json is heavy.
#pragma once

#include <cmath>
#include <nlohmann/json.hpp>
#include <string>

#include "libloop/report/version.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {

using Json = nlohmann::ordered_json;  // keys stay in the order of docs/files.md

inline constexpr int json_format = 1;

// A result; null for what is not finite, which JSON cannot say.
inline Json number_or_null(double value) {
  return std::isfinite(value) ? Json(settled(value)) : Json();
}

// The first keys of every answer.
inline Json json_head() { return Json{{"format", json_format}, {"libloop", version()}}; }

// The text with a line end. Bytes that are no UTF-8 (a file name may have them) are replaced.
inline std::string json_text(const Json& json) {
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + '\n';
}

}  // namespace libloop::report
