// A forecast in one line, with what it stands on below it; or as JSON, or as CSV.
//
//   libloop::report::ToldForecast told{libloop::forecast(times, rises, courses)};
//   std::puts(libloop::report::verdict_line(told.forecast).c_str());
//
// The keys of the JSON and the columns of the CSV are described in docs/files.md.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "libloop/evidence/forecast.hpp"
#include "libloop/evidence/log.hpp"

namespace libloop::report {

// A forecast and what it was made from.
struct ToldForecast {
  Forecast forecast;
  std::string file;
  std::size_t step = 0, steps = 1;  // which of how many
  std::string cut_by;               // what began it; may be empty
  double begin = 0.0;               // s, in the log
  double elapsed = 0.0;             // s since the step began
  double within = 0.5;              // K, as in ForecastOptions
  // "warm-ups of Invented 280 on thick-lid at 180 W and full fans"; empty: single exponentials.
  std::string courses;
  long long rows = 0;  // of the file
  // What can hurt: told right below the verdict. In JSON the first of notes.
  std::vector<std::string> cautions;
  std::vector<std::string> notes, decisions;
  std::vector<LeftOut> left_out;
};

// "Stop: settles at 42.3 K (41.9 to 42.8 K)."
std::string verdict_line(const Forecast& forecast);

// "CAUTION  ..." lines; empty without any.
std::string cautions(const ToldForecast& told);
std::string text(const ToldForecast& told);
std::string json(const ToldForecast& told);
// The same in one line, for a log that is followed.
std::string json_line(const ToldForecast& told);

// Columns, and a row for each look at the log.
std::string forecast_csv_head();
std::string forecast_csv_row(const ToldForecast& told);

}  // namespace libloop::report
