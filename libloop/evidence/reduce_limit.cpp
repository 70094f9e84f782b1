#include "libloop/evidence/reduce_limit.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "libloop/base/text.hpp"
#include "libloop/evidence/correlated.hpp"
#include "libloop/evidence/steps_jumps.hpp"
#include "libloop/quantity/unit.hpp"

namespace libloop {
namespace {

// All judgement.
constexpr double sag = 0.03;            // of the power, that counts
constexpr double ratio_sag = 0.05;      // of the power over its preset, from one step to the next
constexpr double at_top = 2.0;          // K, within which a chip is as hot as it ever was
constexpr double at_limit = 1.0;        // K, within which a chip is at its limit
constexpr std::size_t size = 5;         // readings of a running median
constexpr double last_moments = 10.0;   // s, of a step
constexpr double first_moments = 20.0;  // s, in which a chip shows that its power fell

std::vector<double> smoothed(const std::vector<double>& values) {
  if (values.empty()) return {};
  return running_medians(values, std::min(size, values.size()));
}

double highest(const Present& there) {
  const std::vector<double> levels = smoothed(there.value);
  return levels.empty() ? -std::numeric_limits<double>::infinity()
                        : *std::max_element(levels.begin(), levels.end());
}

double mean(const Present& there) {
  double sum = 0.0;
  for (const double one : there.value) sum += one;
  return sum / static_cast<double>(there.value.size());
}

std::string celsius(double kelvin) { return show(kelvin, "C", 3); }
std::string watts(double power) { return text::number(power, 3) + " W"; }

class Judge {
 public:
  Judge(const Rows& rows, const ReduceOptions& options)
      : rows_(rows),
        options_(options),
        top_(highest(present(rows.log, rows.chip, 0, rows.log.time.size()))) {}

  void within(const Kept& one) const {
    sagged(one);
    limited(one);
  }

  // Without a preset a sudden sag cuts the log. Less power and fans as before would cool a chip
  // that was not throttled, and at once: one that comes back to the same reading later was not.
  void after_a_cut(const Kept& one) const {
    if (one.point->throttled || one.cut.changes.size() != 1) return;
    const Change& change = one.cut.changes.front();
    if (change.channel != Channel::load || change.after >= (1.0 - sag) * change.before) return;
    const double was = highest(present(rows_.log, rows_.chip, one.before.begin, one.before.end));
    if (!near(was, top_) || !near(level(one), top_) || !near(at_first(one), top_)) return;
    throttled(one, fmt::format("The power fell from {} to {} while the chip stayed at its highest "
                               "reading, {}: it is throttled.",
                               watts(change.before), watts(change.after), celsius(level(one))));
  }

  // A power below its preset by more than in cooler steps.
  void against_preset(const Kept& one, double usual) const {
    const MeasuredState& state = one.point->state;
    if (one.point->throttled || !near(level(one), top_)) return;
    if (*state.load >= (1.0 - ratio_sag) * usual * *state.preset) return;
    throttled(one, fmt::format("The bench reads {} at a preset of {}, {} of it; cooler steps had "
                               "{}: the chip is throttled.",
                               watts(*state.load), watts(*state.preset),
                               show(*state.load / *state.preset, "%", 3), show(usual, "%", 3)));
  }

  bool cooler(const Kept& one) const { return !near(level(one), top_); }

 private:
  bool near(double level, double top) const {
    return level >= top - std::max(at_top, 2.0 * rows_.chip.step);
  }

  double level(const Kept& one) const {
    return mean(present(rows_.log, rows_.chip, one.begin, one.end));
  }

  // Of the chip, once the change is over.
  double at_first(const Kept& one) const {
    const double begin = rows_.log.time[one.step.begin];
    std::size_t end = one.step.begin;
    while (end < one.step.end && rows_.log.time[end] < begin + first_moments) ++end;
    const Present there = present(rows_.log, rows_.chip, one.step.begin, end);
    return there.value.empty() ? level(one) : mean(there);
  }

  static void throttled(const Kept& one, std::string note) {
    one.point->throttled = true;
    one.point->held = false;
    one.point->notes.push_back(std::move(note));
    one.point->notes.push_back("The rise is a lower bound of that at the power asked for.");
  }

  void sagged(const Kept& one) const {
    const Present before = rows_.channel(Channel::load, one.step.begin, one.end);
    const Present now = rows_.channel(Channel::load, one.begin, one.end);
    if (now.value.size() < 3 || before.value.size() < size) return;
    const Mean power = mean_of(now.time, now.value);
    // The highest of many medians lies above the level by noise alone: four of their standard
    // deviations, 1.25/sqrt n of a reading's.
    const double noise = local_noise(before.value);
    const double was = highest(before);
    const double surely = was - 4.0 * 1.25 * noise / std::sqrt(static_cast<double>(size)) -
                          2.0 * power.u - power.value;
    if (!(surely > sag * was)) return;  // nor where it is no number
    const double hottest = highest(present(rows_.log, rows_.chip, one.step.begin, one.end));
    if (!near(level(one), hottest)) return;
    throttled(one, fmt::format("The power sagged from {} to {} while nothing else was set and the "
                               "chip read {}: it is throttled.",
                               watts(was), watts(power.value), celsius(level(one))));
  }

  // Of a reading, by its neighbours: a sag in between hardly counts.
  static double local_noise(const std::vector<double>& values) {
    std::vector<double> sizes;
    for (std::size_t i = 1; i < values.size(); ++i) {
      sizes.push_back(std::abs(values[i] - values[i - 1]));
    }
    const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
    std::nth_element(sizes.begin(), middle, sizes.end());
    return *middle / 0.954;  // the median of the size of a normal difference
  }

  void limited(const Kept& one) const {
    if (!options_.limit) return;
    const double limit = *options_.limit, reach = limit - std::max(at_limit, rows_.chip.step);
    const double end = rows_.log.time[one.end - 1];
    std::size_t from = one.end - 1;
    while (from > one.step.begin && rows_.log.time[from - 1] >= end - last_moments) --from;
    const double last = highest(present(rows_.log, rows_.chip, from, one.end));
    ReducedPoint& point = *one.point;
    if (level(one) >= reach || last >= reach) {
      point.held = false;
      point.notes.push_back(
          fmt::format("The chip read {} at the end, its limit is {}: the rise is "
                      "a lower bound.",
                      celsius(std::max(level(one), last)), celsius(limit)));
      return;
    }
    const double hottest = highest(present(rows_.log, rows_.chip, one.step.begin, one.end));
    if (hottest < limit - close_to_limit) return;
    point.notes.push_back(fmt::format(
        "Caution: the chip read up to {}, its limit is {}. Do not load it further; the maker's "
        "limits rule.",
        celsius(hottest), celsius(limit)));
  }

  const Rows& rows_;
  const ReduceOptions& options_;
  double top_;
};

bool has_preset(const Kept& one) {
  const MeasuredState& state = one.point->state;
  return state.load && state.preset && *state.preset > 0.0;
}

}  // namespace

void begin_by(const std::vector<Cut>& cuts, const std::vector<Step>& steps,
              std::vector<Kept>& kept) {
  std::size_t cut = 0, step = 0;
  for (Kept& one : kept) {
    while (cut < cuts.size() && cuts[cut].row < one.step.begin) ++cut;
    if (cut < cuts.size() && cuts[cut].row == one.step.begin) one.cut = cuts[cut];
    while (step < steps.size() && steps[step].begin < one.step.begin) ++step;
    if (step > 0) one.before = steps[step - 1];
  }
}

void judge_held(const Rows& rows, std::vector<Kept>& kept, const ReduceOptions& options) {
  const Judge judge(rows, options);
  std::vector<double> ratios;
  for (const Kept& one : kept) {
    judge.within(one);
    if (has_preset(one) && judge.cooler(one) && !one.point->throttled) {
      ratios.push_back(*one.point->state.load / *one.point->state.preset);
    }
  }
  for (const Kept& one : kept) judge.after_a_cut(one);
  if (ratios.empty()) return;
  std::sort(ratios.begin(), ratios.end());
  const double usual = ratios[ratios.size() / 2];
  for (const Kept& one : kept) {
    if (has_preset(one)) judge.against_preset(one, usual);
  }
}

}  // namespace libloop
