#include <cmath>

#include "libloop/report/forecast.hpp"
#include "libloop/report/how_read.hpp"
#include "libloop/report/json_parts.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

const char* word(Verdict verdict) {
  switch (verdict) {
    case Verdict::stop:
      return "stop";
    case Verdict::wait:
      return "wait";
    case Verdict::cannot_tell:
      break;
  }
  return "cannot_tell";
}

// Null where too little was read for a forecast.
Json number_of(const ToldForecast& told, double value) {
  const bool made = told.forecast.used > 0 && std::isfinite(told.forecast.settled.p50);
  return made ? number_or_null(value) : Json();
}

std::vector<std::string> all_notes(const ToldForecast& told) {
  std::vector<std::string> all = told.cautions;
  all.insert(all.end(), told.notes.begin(), told.notes.end());
  return all;
}

Json interval(const ToldForecast& told, const Interval& values) {
  return {{"p05", number_of(told, values.p05)},
          {"p50", number_of(told, values.p50)},
          {"p95", number_of(told, values.p95)}};
}

// A wait is known only where the verdict is to wait, and none where it is to stop.
Json wait_of(const Forecast& forecast) {
  if (forecast.verdict == Verdict::cannot_tell) return {};
  return forecast.verdict == Verdict::stop ? Json(0.0) : number_or_null(forecast.wait);
}

Json object(const ToldForecast& told) {
  const Forecast& forecast = told.forecast;
  Json json = json_head();
  json["file"] = told.file;
  json["step"] = told.step + 1;
  json["steps"] = told.steps;
  json["begin_s"] = number_or_null(told.begin);
  json["elapsed_s"] = number_or_null(told.elapsed);
  json["verdict"] = word(forecast.verdict);
  json["why"] = forecast.why;
  json["wait_s"] = wait_of(forecast);
  json["settled_rise_K"] = interval(told, forecast.settled);
  json["allowance_K"] = number_of(told, forecast.allowance);
  json["now_K"] = number_of(told, forecast.now);
  json["left_K"] = interval(told, forecast.left);
  json["within_K"] = number_or_null(told.within);
  json["physical"] = !told.courses.empty();
  json["time_constant_s"] = number_of(told, forecast.time_constant);
  json["noise_K"] = number_of(told, forecast.noise);
  json["correlation_time_s"] = number_of(told, forecast.correlation_time);
  json["rounding_K"] = forecast.used > 0 ? number_or_null(forecast.step) : Json();
  json["readings"] = forecast.used;
  json["notes"] = all_notes(told);
  const std::vector<HowRead> files = {{told.file, told.rows, &told.decisions, &told.left_out}};
  json["left_out"] = json_left_out(files);
  json["decisions"] = json_decisions(files);
  return json;
}

std::string cell(const Json& value) {
  return value.is_number() ? exact(value.get<double>()) : std::string();
}

}  // namespace

std::string json(const ToldForecast& told) { return json_text(object(told)); }

std::string json_line(const ToldForecast& told) {
  return object(told).dump(-1, ' ', false, Json::error_handler_t::replace) + '\n';
}

std::string forecast_csv_head() {
  return csv_line({"elapsed_s", "verdict", "wait_s", "settled_rise_p05_K", "settled_rise_p50_K",
                   "settled_rise_p95_K", "allowance_K", "now_K", "left_p50_K", "time_constant_s",
                   "noise_K", "readings", "file", "step"});
}

std::string forecast_csv_row(const ToldForecast& told) {
  const Json all = object(told);
  const Json& settled_rise = all["settled_rise_K"];
  return csv_line({cell(all["elapsed_s"]), word(told.forecast.verdict), cell(all["wait_s"]),
                   cell(settled_rise["p05"]), cell(settled_rise["p50"]), cell(settled_rise["p95"]),
                   cell(all["allowance_K"]), cell(all["now_K"]), cell(all["left_K"]["p50"]),
                   cell(all["time_constant_s"]), cell(all["noise_K"]),
                   std::to_string(told.forecast.used), told.file, std::to_string(told.step + 1)});
}

}  // namespace libloop::report
