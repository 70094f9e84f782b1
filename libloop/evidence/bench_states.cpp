#include "libloop/evidence/bench_states.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "libloop/base/text.hpp"

namespace libloop::evidence {
namespace {

// Of the reference in one state: means by condition.
struct Run {
  struct Mean {
    double ratio = 0.0, square = 0.0;  // rise/load, K/W; its relative standard uncertainty squared
    int points = 0;
  };
  std::vector<Mean> conditions;
  std::set<std::size_t> mounts;
};

std::vector<Run> runs_of(std::span<const UsedPoint> reference, const RiseLayout& layout,
                         std::size_t states) {
  std::vector<Run> runs(states);
  for (Run& run : runs) run.conditions.resize(layout.cells.size());
  for (std::size_t c = 0; c < layout.cells.size(); ++c) {
    for (const std::size_t i : layout.cells[c].points) {
      const UsedPoint& point = reference[i];
      Run::Mean& mean = runs[point.state].conditions[c];
      mean.ratio += point.rise / point.load;
      mean.square += point.u * point.u / (point.rise * point.rise);
      ++mean.points;
      runs[point.state].mounts.insert(point.mount);
    }
  }
  for (Run& run : runs) {
    for (Run::Mean& mean : run.conditions) {
      if (mean.points == 0) continue;
      mean.ratio /= mean.points;
      mean.square /= mean.points * mean.points;
    }
  }
  return runs;
}

BenchState compared(const Run& now, const Run& first, double mount_scatter) {
  BenchState state;
  double sum = 0.0, squares = 0.0, of_points = 0.0;
  for (std::size_t c = 0; c < now.conditions.size(); ++c) {
    const Run::Mean &a = now.conditions[c], &b = first.conditions[c];
    if (a.points == 0 || b.points == 0) continue;
    const double ratio = a.ratio / b.ratio;
    sum += ratio;
    squares += ratio * ratio;
    of_points += ratio * ratio * (a.square + b.square);
    ++state.points;
  }
  if (state.points == 0) return state;
  const double n = state.points;
  state.factor = sum / n;
  const double spread = n > 1 ? std::max(0.0, squares - sum * sum / n) / (n - 1.0) / n : 0.0;
  const double mounts =
      1.0 / static_cast<double>(now.mounts.size()) + 1.0 / static_cast<double>(first.mounts.size());
  // What the points say of themselves, or what they show, whichever is more.
  state.u = std::sqrt(std::max(spread, of_points / (n * n)) +
                      mount_scatter * mount_scatter * mounts * state.factor * state.factor);
  return state;
}

// A state without a run of its own, from the ones before and after; half their difference is
// added to the doubt. After the last run the bench is taken as it was then.
bool read_between(Drift& drift, const Dates& dates, std::size_t state,
                  const std::vector<bool>& has_run) {
  std::size_t before = state, after = state;
  while (before > 0 && !(has_run[before] && dates.day(before) > 0)) --before;
  while (after + 1 < has_run.size() && !(has_run[after] && dates.day(after) > 0)) ++after;
  if (!has_run[before] || dates.day(before) <= 0 || dates.day(state) <= 0) return false;
  if (!has_run[after]) {
    drift.states[state].factor = drift.states[before].factor;
    drift.states[state].u = drift.states[before].u;
    return true;
  }
  const BenchState &a = drift.states[before], &b = drift.states[after];
  const double share =
      (dates.day(state) - dates.day(before)) / (dates.day(after) - dates.day(before));
  const double difference = b.factor - a.factor;
  drift.states[state].factor = a.factor + share * difference;
  drift.states[state].u = std::hypot((1.0 - share) * a.u, share * b.u, 0.5 * difference);
  return true;
}

void tell(Drift& drift, const Dates& dates, const std::vector<bool>& has_run) {
  std::vector<std::string> apart, untied, later;
  std::size_t last = 0;
  for (std::size_t i = 0; i < dates.size(); ++i) {
    if (has_run[i]) last = i;
  }
  for (std::size_t i = 0; i < dates.size(); ++i) {
    const BenchState& state = drift.states[i];
    if (!dates.dated(i)) continue;
    if (!drift.tied[i]) untied.push_back(state.date);
    if (drift.tied[i] && i > last) later.push_back(state.date);
    if (i == drift.first || !has_run[i]) continue;
    if (std::abs(state.factor - 1.0) < 2.0 * state.u) apart.push_back(state.date);
  }
  if (!untied.empty()) {
    drift.notes.push_back(
        fmt::format("Dates without a run of the reference cooler before them that "
                    "shares a condition with its first are taken as they are: {}.",
                    text::list(untied)));
  }
  if (!later.empty()) {
    drift.notes.push_back(fmt::format(
        "Dates after the last run of the reference cooler take the bench as it was then: {}.",
        text::list(later)));
  }
  if (!apart.empty()) {
    drift.notes.push_back(
        fmt::format("The drift of the bench is within twice its own doubt, mounting of the "
                    "reference cooler included, on {}.",
                    text::list(apart)));
  }
}

}  // namespace

bool Dates::before(const Date& a, const Date& b) {
  return a.day != b.day ? a.day < b.day : a.day == 0.0 && a.text < b.text;
}

// A known day is the state; else its text is.
Dates::Dates(const MeasuredTable& table) {
  for (const MeasuredPoint& point : table.points) {
    Date date{std::floor(point.day), point.date};
    if (date.text.empty() && date.day != 0.0) date.text = fmt::format("day {:.0f}", date.day);
    const auto place = std::lower_bound(all_.begin(), all_.end(), date, before);
    if (place == all_.end() || before(date, *place)) all_.insert(place, std::move(date));
  }
}

std::size_t Dates::of(const MeasuredPoint& point) const {
  const Date date{std::floor(point.day), point.date};
  return static_cast<std::size_t>(std::lower_bound(all_.begin(), all_.end(), date, before) -
                                  all_.begin());
}

std::size_t Dates::dated_states() const {
  return static_cast<std::size_t>(
      std::count_if(all_.begin(), all_.end(), [](const Date& d) { return !d.text.empty(); }));
}

Drift drift_of(std::span<const UsedPoint> reference, const Dates& dates, double mount_scatter) {
  const RiseLayout layout = lay_out(reference);
  const std::vector<Run> runs = runs_of(reference, layout, dates.size());
  Drift drift;
  drift.states.resize(dates.size());
  drift.tied.assign(dates.size(), false);
  for (std::size_t i = 0; i < dates.size(); ++i) drift.states[i].date = dates.text(i);

  std::size_t first = 0;
  while (first < dates.size() && (!dates.dated(first) || runs[first].mounts.empty())) ++first;
  if (first == dates.size()) {
    drift.notes.emplace_back(
        "No dated run of the reference cooler was held: the bench is taken as unchanged.");
    return drift;
  }
  drift.first = first;
  std::vector<bool> has_run(dates.size(), false);
  for (std::size_t i = first; i < dates.size(); ++i) {
    BenchState state = compared(runs[i], runs[first], mount_scatter);
    has_run[i] = state.points > 0;
    if (!has_run[i]) continue;
    state.date = dates.text(i);
    if (i == first) state.factor = 1.0, state.u = 0.0;
    drift.states[i] = std::move(state);
  }
  for (std::size_t i = 0; i < dates.size(); ++i) {
    drift.tied[i] = has_run[i] || read_between(drift, dates, i, has_run);
  }
  tell(drift, dates, has_run);
  return drift;
}

}  // namespace libloop::evidence
