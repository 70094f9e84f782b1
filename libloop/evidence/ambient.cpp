#include "libloop/evidence/ambient.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "libloop/base/error.hpp"
#include "libloop/base/text.hpp"
#include "libloop/evidence/log_columns_told.hpp"
#include "libloop/evidence/steps.hpp"

namespace libloop {
namespace {

constexpr double longest_gap = 600.0;  // s, over which a room is read between: judgement
constexpr double held_on = 60.0;       // s before the first and after the last reading: judgement
constexpr const char* what_to_do =
    "Give the ambient temperature, --ambient \"22 C\", or its own log, --ambient-log FILE.";

// `time` is ahead of none before it: `next` only moves on.
double between(const Present& there, double time, std::size_t& next) {
  while (next < there.time.size() && there.time[next] < time) ++next;
  if (next == 0) return there.time[0] - time <= held_on ? there.value[0] : no_reading;
  const double before = there.time[next - 1];
  if (next == there.time.size()) {
    return time - before <= held_on ? there.value[next - 1] : no_reading;
  }
  const double gap = there.time[next] - before;
  if (gap > longest_gap) return there.time[next] == time ? there.value[next] : no_reading;
  const double share = (time - before) / gap;
  return there.value[next - 1] + share * (there.value[next] - there.value[next - 1]);
}

std::vector<double> at_rows(const Log& log, const Present& there, double ahead) {
  std::vector<double> at;
  at.reserve(log.time.size());
  std::size_t next = 0;
  for (const double t : log.time) at.push_back(between(there, t + ahead, next));
  return at;
}

// The second file's column: named ambient, or its only one.
const Series* series_of(const Log& other) {
  const Series* named = other.find(Channel::ambient);
  if (named != nullptr || other.series.size() != 1) return named;
  const Series& only = other.series.front();
  return declared(only.channel).unit == "C" ? &only : nullptr;
}

Ambient from_file(const Log& log, const Log& other, double shift) {
  const Series* series = series_of(other);
  if (series == nullptr) {
    refuse(Code::missing, fmt::format("{} has no column of the ambient temperature.", other.file),
           "Name it: --column ambient=HEADING." + evidence::columns_told(other));
  }
  const Present there = present(other, *series, 0, other.time.size());
  if (there.time.empty()) {
    refuse(Code::missing, fmt::format("{} has no reading of the ambient temperature.", other.file),
           what_to_do);
  }
  Ambient ambient{.at = {}, .step = series->step, .given = false, .notes = {}};
  const bool clocks = log.began && other.began;
  const double ahead = (clocks ? *log.began - *other.began : 0.0) - shift;
  ambient.notes.push_back(clocks ? fmt::format("Ambient from {}, by its clock.", other.file)
                                 : fmt::format("Ambient from {}, as if both files began at once: "
                                               "not both tell date and time.",
                                               other.file));
  ambient.at = at_rows(log, there, ahead);
  if (std::none_of(ambient.at.begin(), ambient.at.end(), is_reading)) {
    refuse(Code::missing,
           fmt::format("{} covers no row of {}: on the log's time it runs from {} to {} s, the log "
                       "to {} s.",
                       other.file, log.file, text::number(there.time.front() - ahead),
                       text::number(there.time.back() - ahead), text::number(log.time.back())),
           "Shift its clock: --ambient-shift.");
  }
  return ambient;
}

Ambient from_column(const Log& log) {
  const Series* series = log.find(Channel::ambient);
  const Present there = series == nullptr ? Present{} : present(log, *series, 0, log.time.size());
  if (there.time.empty()) {
    refuse(Code::missing, fmt::format("{} has no ambient temperature.", log.file),
           what_to_do + evidence::columns_told(log));
  }
  return {.at = at_rows(log, there, 0.0), .step = series->step, .given = false, .notes = {}};
}

Ambient as_given(const Log& log, double kelvin) {
  if (!(kelvin > 200.0 && kelvin < 400.0)) {
    refuse(Code::bounds, fmt::format("An ambient of {} K.", text::number(kelvin)),
           "Give the temperature of the room's air, such as \"22 C\".");
  }
  return {.at = std::vector<double>(log.time.size(), kelvin),
          .step = 0.0,
          .given = true,
          .notes = {"Ambient as given; how it moved is not known."}};
}

void tell_uncovered(const Log& log, Ambient& ambient) {
  const auto none = std::count_if(ambient.at.begin(), ambient.at.end(),
                                  [](double value) { return !is_reading(value); });
  if (none == 0) return;
  ambient.notes.push_back(fmt::format(
      "{} of {} rows have no ambient reading near them and are not used.", none, log.time.size()));
}

}  // namespace

Ambient ambient_of(const Log& log, const ReduceOptions& options) {
  Ambient ambient = options.ambient ? as_given(log, *options.ambient)
                    : options.ambient_log != nullptr
                        ? from_file(log, *options.ambient_log, options.ambient_shift)
                        : from_column(log);
  tell_uncovered(log, ambient);
  return ambient;
}

double ambient_moved(const Log& log, const Ambient& ambient, std::size_t begin, std::size_t end,
                     double lag) {
  double moved = 0.0, rows = 0.0;
  std::size_t earlier = 0;
  for (std::size_t i = begin; i < end; ++i) {
    while (earlier < i && log.time[earlier] < log.time[i] - lag) ++earlier;
    if (log.time[i] - lag < log.time.front()) continue;
    if (!is_reading(ambient.at[i]) || !is_reading(ambient.at[earlier])) continue;
    moved += ambient.at[i] - ambient.at[earlier];
    rows += 1.0;
  }
  return rows > 0.0 ? moved / rows : 0.0;
}

}  // namespace libloop
