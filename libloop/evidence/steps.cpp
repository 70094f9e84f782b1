#include "libloop/evidence/steps.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "libloop/base/text.hpp"
#include "libloop/evidence/steps_jumps.hpp"
#include "libloop/quantity/unit.hpp"

namespace libloop {
namespace {

constexpr double together = 10.0;  // s; changes so near are one cut: judgement

// What counts as a change of what is set. Measured speeds and powers wander by a per cent or two;
// all of it judgement.
JumpRule rule_of(Channel channel) {
  switch (channel) {
    case Channel::preset:
      return {.least = 1.0, .least_share = 0.01};
    case Channel::load:
      return {.least = 2.0, .least_share = 0.05, .proportional = true};
    case Channel::fan_speed:
    case Channel::pump_speed:
      return {.least = 1.0, .least_share = 0.05, .proportional = true};
    case Channel::fan_share:
    case Channel::pump_share:
      return {.least = 0.02};
    default:
      return {.least = 3.0, .window = 15.0};  // a chip answers within some seconds
  }
}

struct Found {
  std::vector<Cut> cuts;
  bool readings = false;
};

Found found(const Log& log, Channel channel, double least_share = 0.0) {
  const Series* series = log.find(channel);
  if (series == nullptr) return {};
  const Present there = present(log, *series, 0, log.time.size());
  JumpRule rule = rule_of(channel);
  rule.rounding = series->step;
  rule.least_share = std::max(rule.least_share, least_share);
  Found result;
  result.readings = there.row.size() >= 6;
  for (const Jump& jump : jumps(there.time, there.value, rule)) {
    result.cuts.push_back({there.row[jump.at], {{channel, jump.before, jump.after}}});
  }
  return result;
}

Found either(const Log& log, Channel first, Channel second) {
  Found one = found(log, first);
  if (!one.cuts.empty()) return one;
  Found other = found(log, second);
  other.readings = other.readings || one.readings;
  return other;
}

// A preset that never moves may stand beside a load that was changed by other means; a power that
// sags at constant preset is no cut, however: it must change by three tenths.
Found of_power(const Log& log) {
  constexpr double plainly = 0.3;
  Found preset = found(log, Channel::preset);
  if (!preset.cuts.empty()) return preset;
  Found load = found(log, Channel::load, preset.readings ? plainly : 0.0);
  load.readings = load.readings || preset.readings;
  return load;
}

std::vector<Cut> joined(const Log& log, std::vector<Cut> all) {
  std::stable_sort(all.begin(), all.end(),
                   [](const Cut& a, const Cut& b) { return a.row < b.row; });
  std::vector<Cut> result;
  for (Cut& cut : all) {
    if (result.empty() || log.time[cut.row] - log.time[result.back().row] >= together) {
      result.push_back(std::move(cut));
    } else {
      auto& changes = result.back().changes;
      changes.insert(changes.end(), cut.changes.begin(), cut.changes.end());
    }
  }
  return result;
}

std::string_view word(Channel channel) {
  switch (channel) {
    case Channel::fan_speed:
    case Channel::fan_share:
      return "fans";
    case Channel::pump_speed:
    case Channel::pump_share:
      return "pump";
    default:
      return declared(channel).name;
  }
}

std::string told(const Change& change) {
  const std::string_view unit = declared(change.channel).unit;
  const auto number = [&](double si) { return text::number(to_unit(si, unit), 3); };
  return fmt::format("{} from {} to {} {}", word(change.channel), number(change.before),
                     number(change.after), unit);
}

}  // namespace

Present present(const Log& log, const Series& series, std::size_t begin, std::size_t end) {
  Present there;
  for (std::size_t i = begin; i < std::min(end, series.values.size()); ++i) {
    if (!is_reading(series.values[i])) continue;
    there.time.push_back(log.time[i]);
    there.value.push_back(series.values[i]);
    there.row.push_back(i);
  }
  return there;
}

std::vector<Cut> cuts(const Log& log) {
  std::vector<Cut> all;
  bool readings = false;
  for (const Found& one : {of_power(log), either(log, Channel::fan_share, Channel::fan_speed),
                           either(log, Channel::pump_share, Channel::pump_speed)}) {
    all.insert(all.end(), one.cuts.begin(), one.cuts.end());
    readings = readings || one.readings;
  }
  if (!readings) all = found(log, Channel::chip).cuts;
  return joined(log, std::move(all));
}

std::vector<Step> steps_of(const Log& log, const std::vector<Cut>& cuts) {
  std::vector<Step> all;
  if (log.empty()) return all;
  all.push_back({});
  for (const Cut& cut : cuts) {
    if (cut.row == 0) continue;
    std::vector<std::string> changes;
    for (const Change& change : cut.changes) changes.push_back(told(change));
    all.back().end = cut.row;
    all.push_back({.begin = cut.row, .end = 0, .cut_by = text::list(changes)});
  }
  all.back().end = log.time.size();
  return all;
}

std::vector<Step> steps(const Log& log) { return steps_of(log, cuts(log)); }

}  // namespace libloop
