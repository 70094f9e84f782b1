#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/error.hpp"
#include "libloop/report/sections.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/warmup.hpp"
#include "libloop/report/warmup_sections.hpp"
#include "libloop/report/warmup_words.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

// ", the slowest of 3 points,"
std::string slowest_words(const WarmupPrediction& prediction) {
  const auto all = prediction.points.size();
  const auto answered = static_cast<std::size_t>(
      std::count_if(prediction.points.begin(), prediction.points.end(), usable));
  if (all == 1) return {};
  if (answered == all) return fmt::format(", the slowest of {} points", all);
  return fmt::format(", the slowest with an answer ({} of {} points have one)", answered, all);
}

// "2 min 40 s (1 min 40 s to 4 min, 5-95 %)"
std::string wait_words(const WarmupPoint& point, const Interval& wait) {
  if (point.samples == 0) return time_words(wait.p50) + " (typical values only)";
  const double width = std::isfinite(wait.p95) ? wait.p95 - wait.p05 : wait.p50 - wait.p05;
  return fmt::format("{} ({}, 5-95 %)", time_words(wait.p50, width),
                     time_range(wait, followed(point)));
}

// "the reading stays within 0.5 K of its settled 32 K after 2 min 40 s (...)"
std::string stays_words(const WarmupPoint& point, const Settling& settling) {
  const std::string near =
      fmt::format("within {:.3g} K of its settled {} K", settling.band, median(point.settled_rise));
  const std::string who = reading_words(point);
  if (!std::isfinite(settling.reading.p50)) {
    return fmt::format("{} is not yet {} after the {} followed", who, near,
                       time_words(followed(point)));
  }
  if (settling.reading.p50 == 0.0 && settling.reading.p95 == 0.0) {
    return fmt::format("{} is {} from the start", who, near);
  }
  return fmt::format("{} stays {} after {}", who, near, wait_words(point, settling.reading));
}

std::string headline(const Model& model, const WarmupPrediction& prediction) {
  const WarmupPoint* const slow = slowest(prediction);
  if (slow == nullptr) {
    const WarmupPoint& point = prediction.points.front();
    return fmt::format("{} there is no answer: {}.", case_words(model, point), why_not(point));
  }
  const std::size_t band = first_band(prediction);
  std::string words = fmt::format("{}{}, {}", case_words(model, *slow), slowest_words(prediction),
                                  stays_words(*slow, slow->settling[band]));
  const WarmupPoint* const quick = quickest(prediction);
  const Interval& least = quick->settling[band].reading;
  if (quick != slow && std::isfinite(least.p50)) {
    words += fmt::format("; the quickest, {}, after {}", duty_words(model, quick->asked.duty),
                         wait_words(*quick, least));
  }
  return words + '.';
}

// "7 rows over 40 min; conditions.load and conditions.fan move"
std::string profile_words(const Profile& profile) {
  std::vector<std::string> moving;
  for (std::size_t c = 0; c < profile.names.size(); ++c) {
    const std::vector<double>& values = profile.values[c];
    const bool still = std::all_of(values.begin(), values.end(),
                                   [&](double value) { return value == values.front(); });
    if (!still) moving.push_back(profile.names[c]);
  }
  constexpr std::size_t most = 6;
  std::string names;
  for (std::size_t i = 0; i < moving.size() && i < most; ++i) {
    names += (names.empty() ? "" : ", ") + moving[i];
  }
  if (moving.size() > most) names += fmt::format(" and {} more", moving.size() - most);
  return fmt::format("{} rows over {}; {}", profile.times.size(), time_words(profile.end()),
                     moving.empty() ? "nothing moves" : "moving: " + names);
}

std::string start_of(const Model& model, const WarmupPoint& point) {
  const std::string start =
      point.asked.start.soak
          ? "settled at " + duty_words(model, *point.asked.start.soak)
          : std::string("all at ambient; load, fans and pump switched on at once");
  std::string out = paragraph("  start    ", start);
  if (moves(point)) out += paragraph("  profile  ", profile_words(point.asked.profile));
  return out;
}

}  // namespace

std::string text(const Model& model, const WarmupPrediction& prediction) {
  need_points(prediction);
  if (prediction.bands.empty()) {
    throw InputError(Problem{Code::call, "a text without a band", "Give at least one, 0.5 K.", {}});
  }
  const Prediction settled = settled_points(prediction);
  const Told told{model, settled, ""};
  return paragraph("", headline(model, prediction)) + cautions({told}) + basis({told}) +
         start_of(model, prediction.points.front()) + waits(model, prediction) +
         creep(model, prediction) + habits(model, prediction) + slow_modes(model, prediction) +
         notes({told}) + before_you_run();
}

}  // namespace libloop::report
