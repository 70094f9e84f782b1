#include "libloop/evidence/held.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "libloop/base/error.hpp"
#include "libloop/evidence/reduce_limit.hpp"
#include "libloop/quantity/unit.hpp"

namespace libloop {
namespace {

// The rows of a step's last minute: what a steady window is at least.
Kept end_of(const Rows& rows, const Step& step, double seconds) {
  Kept kept{.step = step, .cut = {}, .before = {}, .begin = step.end - 1, .end = step.end};
  const double from = rows.log.time[step.end - 1] - seconds;
  while (kept.begin > step.begin && rows.log.time[kept.begin - 1] >= from) --kept.begin;
  return kept;
}

std::optional<double> mean_in(const Rows& rows, Channel channel, const Kept& kept) {
  const Present there = rows.channel(channel, kept.begin, kept.end);
  if (there.value.empty()) return {};
  double sum = 0.0;
  for (const double one : there.value) sum += one;
  return sum / static_cast<double>(there.value.size());
}

constexpr std::size_t latest = 5;  // readings whose median is the reading now: judgement

std::string celsius(double kelvin) { return show(kelvin, "C", 3); }

// K absolute; nothing where the step has no reading.
std::optional<double> reading_now(const Log& log, const Step& step) {
  const Series* chip = log.find(Channel::chip);
  std::vector<double> last;
  for (std::size_t i = step.end; chip != nullptr && i > step.begin && last.size() < latest; --i) {
    if (is_reading(chip->values[i - 1])) last.push_back(chip->values[i - 1]);
  }
  if (last.empty()) return {};
  std::sort(last.begin(), last.end());
  return last[last.size() / 2];
}

}  // namespace

std::string throttled_in(const Log& log, std::size_t step) {
  const std::vector<Cut> all = cuts(log);
  const std::vector<Step> steps = steps_of(log, all);
  if (step >= steps.size()) {
    refuse(Code::call, fmt::format("step {} of {}", step + 1, steps.size()),
           "Take a step that steps(log) gave.");
  }
  const Series* chip = log.find(Channel::chip);
  if (chip == nullptr) return {};
  const ReduceOptions options;
  const Rows rows{log, *chip, {}};
  std::vector<ReducedPoint> points(steps.size());
  std::vector<Kept> kept;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    kept.push_back(end_of(rows, steps[i], options.shortest));
    points[i].state.load = mean_in(rows, Channel::load, kept[i]);
    points[i].state.preset = mean_in(rows, Channel::preset, kept[i]);
  }
  for (std::size_t i = 0; i < kept.size(); ++i) kept[i].point = &points[i];
  begin_by(all, steps, kept);
  judge_held(rows, kept, options);
  std::string why;
  if (!points[step].throttled) return why;
  for (const std::string& note : points[step].notes) why += (why.empty() ? "" : " ") + note;
  return why;
}

std::vector<std::string> limit_cautions(const Log& log, const Step& step, double settled,
                                        double limit) {
  const char* then = "stop the load; the maker's limit counts";
  std::vector<std::string> all;
  if (const auto now = reading_now(log, step); now && *now >= limit - close_to_limit) {
    all.push_back(
        fmt::format("the chip reads {}, its limit is {}: {}", celsius(*now), celsius(limit), then));
  }
  if (settled > limit) {
    all.push_back(fmt::format("the chip would settle at {}, above its limit of {}: {}",
                              celsius(settled), celsius(limit), then));
  }
  return all;
}

}  // namespace libloop
