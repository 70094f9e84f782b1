#include "libloop/report/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/text.hpp"
#include "libloop/quantity/unit.hpp"

namespace libloop::report {
namespace {

constexpr double nothing = 1e-4;     // in any unit that reports print
constexpr double third_digit = 0.1;  // of a value: the width whose second digit is the third

std::string fixed(double value, int decimals) {
  std::string out = fmt::format("{:.{}f}", value, decimals);
  // No "-0.0": what rounds to nothing has no sign.
  if (out.find_first_not_of("-0.") == std::string::npos && out.front() == '-') out.erase(0, 1);
  return out;
}

// Two significant digits of the width.
int decimals_of(double width) {
  return std::clamp(1 - static_cast<int>(std::floor(std::log10(width))), 0, 6);
}

Interval exactly(double value) { return {value, value, value, value}; }

std::string percent(double fraction) { return percent_cell(fraction) + " %"; }

// "60 % (1050 rpm)"
std::string speed_words(double share, const std::optional<double>& rpm) {
  return rpm ? fmt::format("{} ({:.0f} rpm)", percent(share), *rpm) : percent(share);
}

std::string fan_words(const Model& model, const Duty& duty) {
  if (model.cooler().all("fan").empty()) return "no fan";
  if (duty.fan == 1.0) return "full fans";
  if (duty.fan == 0.0) return "stopped fans";
  return "fans at " + speed_words(duty.fan, fan_rpm(model, duty));
}

std::string pump_words(const Model& model, const Duty& duty) {
  const bool several = model.cooler().all("pump").size() > 1;
  if (duty.pump == 0.0) return several ? "stopped pumps" : "a stopped pump";
  return (several ? "the pumps at " : "the pump at ") +
         speed_words(duty.pump, pump_rpm(model, duty));
}

std::optional<double> rpm_of(const std::vector<const Sheet*>& machines, double share) {
  if (machines.empty()) return std::nullopt;
  const double rated = machines.front()->typical("rated_speed");
  const bool alike = std::all_of(machines.begin(), machines.end(), [&](const Sheet* machine) {
    return machine->typical("rated_speed") == rated;
  });
  if (!alike) return std::nullopt;
  return tidy(share * to_unit(rated, "rpm"));
}

}  // namespace

Interval in_unit(const Intervals& answers, const AnswerRow& row) {
  const Interval& si = answers[static_cast<std::size_t>(row.answer)];
  return {to_unit(si.p05, row.unit), to_unit(si.p50, row.unit), to_unit(si.p95, row.unit),
          to_unit(si.typical, row.unit)};
}

std::string kelvins(double value) { return fixed(value, 1); }

std::string rounded(double value, double width) {
  if (std::abs(value) < nothing) value = 0.0;
  if (!(width > nothing && width > 1e-9 * std::abs(value))) return text::number(value, 3);
  return fixed(value, decimals_of(width));
}

std::string range_words(const Interval& interval) {
  return range_words(interval, interval.p95 - interval.p05);
}

std::string range_words(const Interval& interval, double width) {
  return rounded(interval.p05, width) + " to " + rounded(interval.p95, width);
}

std::string median(const Interval& interval) {
  return rounded(interval.p50, interval.p95 - interval.p05);
}

Widths column_widths(const std::vector<Intervals>& points) {
  Widths widths{};
  for (std::size_t a = 0; a < answer_count; ++a) {
    double widest = 0.0, largest = 0.0;
    for (const Intervals& answers : points) {
      const Interval interval = in_unit(answers, answer_rows[a]);
      widest = std::max(widest, interval.p95 - interval.p05);
      largest = std::max(largest, std::abs(interval.p50));
    }
    widths[a] = widest > nothing ? widest : third_digit * largest;
  }
  return widths;
}

std::optional<double> fan_rpm(const Model& model, const Duty& duty) {
  return rpm_of(model.cooler().all("fan"), duty.fan);
}

std::optional<double> pump_rpm(const Model& model, const Duty& duty) {
  return rpm_of(model.cooler().all("pump"), duty.pump);
}

std::string duty_words(const Model& model, const Duty& duty) {
  const std::string load = text::number(duty.load) + " W";
  const std::string fans = fan_words(model, duty);
  if (duty.pump == 1.0) return load + " and " + fans;
  return fmt::format("{}, {} and {}", load, fans, pump_words(model, duty));
}

std::string duty_label(const Duty& duty) {
  std::string label = fmt::format("{} W, fans {}", text::number(duty.load), percent(duty.fan));
  if (duty.pump != 1.0) label += ", pump " + percent(duty.pump);
  return label;
}

bool pump_varies(const Prediction& prediction) {
  return std::any_of(prediction.points.begin(), prediction.points.end(),
                     [](const PredictedPoint& p) { return p.duty.pump != 1.0; });
}

std::string percent_cell(double fraction) { return text::number(100.0 * fraction, 3); }

const PredictedPoint& hottest(const Prediction& prediction) {
  return prediction.points[prediction.matters_point];
}

std::string hottest_words(const Prediction& prediction) {
  const std::size_t all = prediction.points.size();
  if (all == 1 || !hottest(prediction).typical.summary.usable) return {};
  const auto usable = static_cast<std::size_t>(
      std::count_if(prediction.points.begin(), prediction.points.end(),
                    [](const PredictedPoint& p) { return p.typical.summary.usable; }));
  if (usable == all) return fmt::format(", the hottest of {} points,", all);
  return fmt::format(", the hottest with an answer ({} of {} points have one),", usable, all);
}

std::string title_of(const Cooler& cooler) {
  return cooler.title.empty() ? "the cooler" : cooler.title;
}

std::string title_of(const Bench& bench) { return bench.title.empty() ? "the bench" : bench.title; }

std::string stacked(std::string_view name) {
  std::string out(name);
  const std::size_t blank = out.find(' ');
  if (blank != std::string::npos) out[blank] = '\n';
  return out;
}

bool several_chips(const Prediction& prediction) {
  return prediction.points.front().typical.chips.size() > 1;
}

bool several_radiators(const Prediction& prediction) {
  return prediction.points.front().typical.radiators.size() > 1;
}

Interval rise_of(const PredictedPoint& point, std::size_t chip) {
  if (chip < point.chip_rise.size()) return point.chip_rise[chip];
  return exactly(point.typical.chips[chip].rise);
}

Interval conductance_of(const PredictedPoint& point, std::size_t radiator) {
  if (radiator < point.radiator_conductance.size()) return point.radiator_conductance[radiator];
  return exactly(point.typical.radiators[radiator].conductance);
}

std::string first_chip(const PredictedPoint& point) {
  const std::vector<ChipPoint>& chips = point.typical.chips;
  return chips.size() > 1 ? chips.front().name : "the chip";
}

std::string other_chips(const PredictedPoint& point) {
  const std::vector<Interval>& rises = point.chip_rise;
  if (rises.size() < 2) return {};
  const auto top =
      std::max_element(rises.begin() + 1, rises.end(),
                       [](const Interval& a, const Interval& b) { return a.p50 < b.p50; });
  const std::string& name = point.typical.chips[static_cast<std::size_t>(top - rises.begin())].name;
  const std::string who =
      rises.size() == 2 ? name
                        : fmt::format("the hottest of the other {}, {},", rises.size() - 1, name);
  return point.samples == 0 ? fmt::format("; {} {} K", who, median(*top))
                            : fmt::format("; {} {} K ({} K)", who, median(*top), range_words(*top));
}

bool without_samples(const Prediction& prediction) {
  return std::all_of(prediction.points.begin(), prediction.points.end(),
                     [](const PredictedPoint& p) { return p.samples + p.without_answer == 0; });
}

double tidy(double value) {
  return text::parse_number(fmt::format("{:.12g}", value)).value_or(value);
}

double settled(double value) {
  constexpr double left_over = 1e-9;
  return std::abs(value) < left_over ? 0.0 : tidy(value);
}

std::string exact(double value) { return std::isfinite(value) ? fmt::format("{}", value) : ""; }

}  // namespace libloop::report
