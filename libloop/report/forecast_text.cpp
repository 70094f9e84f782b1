#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/text.hpp"
#include "libloop/report/forecast.hpp"
#include "libloop/report/how_read.hpp"
#include "libloop/report/reduction_words.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/warmup_words.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

constexpr double worth_telling = 0.05;  // K; a smaller allowance rounds to nothing

bool known(const Interval& interval) {
  return std::isfinite(interval.p05) && std::isfinite(interval.p50) && std::isfinite(interval.p95);
}

// "42.3 K (41.9 to 42.8 K)"
std::string settled_words(const Interval& settled) {
  return fmt::format("{} K ({} K)", median(settled), range_words(settled));
}

// Waits are told to a tenth of themselves, never finer than 10 s.
std::string wait_words(double seconds) {
  if (!std::isfinite(seconds)) return "long";
  constexpr double coarse = 100.0;
  return time_words(std::max(seconds, 1.0), std::max(coarse, seconds));
}

// "why, and so on": as the rest of a sentence.
std::string reason(const Forecast& forecast, const std::string& otherwise) {
  std::string words = sentence(forecast.why.empty() ? otherwise : forecast.why);
  words.pop_back();
  return words;
}

std::string allowance_words(const Forecast& forecast) {
  if (!(std::abs(forecast.allowance) >= worth_telling)) return {};
  return fmt::format(" A slow part that the log cannot show yet may {} up to {} K.",
                     forecast.allowance < 0.0 ? "take off" : "add",
                     kelvins(std::abs(forecast.allowance)));
}

std::string item(const char* head, const std::string& words) {
  return paragraph(fmt::format("  {:<9}", head), words);
}

std::string where_words(const ToldForecast& told) {
  std::string words =
      fmt::format("{}, step {} of {}", file_name(told.file), told.step + 1, told.steps);
  if (!told.cut_by.empty()) words += fmt::format(" ({})", told.cut_by);
  return fmt::format("{}, {} into it, {}", words, time_words(told.elapsed),
                     counted(told.forecast.used, "reading", "readings"));
}

std::string now_words(const Forecast& forecast) {
  std::string words = fmt::format("{} K over ambient", kelvins(forecast.now));
  if (!known(forecast.left)) return words;
  return words + fmt::format("; still to come {} K ({} K)", median(forecast.left),
                             range_words(forecast.left));
}

std::string noise_words(const Forecast& forecast) {
  std::string words = fmt::format("{} K about the course", text::number(forecast.noise, 2));
  if (forecast.correlation_time > 0.0) {
    words += fmt::format(", correlated over {}", time_words(forecast.correlation_time));
  }
  if (forecast.step > 0.0) {
    words += fmt::format("; read in steps of {} K", text::number(forecast.step, 3));
  }
  return words;
}

std::string basis(const ToldForecast& told) {
  const Forecast& forecast = told.forecast;
  std::string out = "\n" + item("log", where_words(told));
  if (forecast.used == 0 || !std::isfinite(forecast.settled.p50)) return out;
  out += item("now", now_words(forecast));
  out += item("settles", settled_words(forecast.settled));
  out += item("courses", told.courses.empty() ? "single exponentials; --cooler and --bench would "
                                                "say more, and sooner"
                                              : told.courses);
  if (std::isfinite(forecast.time_constant) && forecast.time_constant > 0.0) {
    out += item("slow", fmt::format("time constant about {}",
                                    time_words(forecast.time_constant, forecast.time_constant)));
  }
  return out + item("noise", noise_words(forecast));
}

std::string notes(const ToldForecast& told) {
  std::string out;
  for (const std::string& note : told.notes) out += paragraph("  - ", sentence(note));
  return out.empty() ? out : "\nNotes\n" + out;
}

}  // namespace

std::string cautions(const ToldForecast& told) {
  std::string out;
  for (const std::string& one : told.cautions) out += paragraph("CAUTION  ", sentence(one));
  return out;
}

std::string verdict_line(const Forecast& forecast) {
  const std::string more = allowance_words(forecast);
  switch (forecast.verdict) {
    case Verdict::stop:
      return fmt::format("Stop: settles at {}.{}", settled_words(forecast.settled), more);
    case Verdict::wait:
      return fmt::format("Wait {}: {}.{}", wait_words(forecast.wait),
                         reason(forecast, "on the way to " + settled_words(forecast.settled)),
                         more);
    case Verdict::cannot_tell:
      break;
  }
  return fmt::format("Cannot tell yet: {}.", reason(forecast, "too little was read"));
}

std::string text(const ToldForecast& told) {
  // How columns were read is told by 'reduce' and in JSON: this is a quick look.
  const std::vector<std::string> none;
  const std::string loud = cautions(told);
  return paragraph("", verdict_line(told.forecast)) + (loud.empty() ? "" : "\n" + loud) +
         basis(told) + notes(told) +
         (told.left_out.empty()
              ? ""
              : how_read({{file_name(told.file), told.rows, &none, &told.left_out}}));
}

}  // namespace libloop::report
