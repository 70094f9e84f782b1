#include <fmt/format.h>

#include <array>
#include <cmath>

#include "libloop/quantity/unit.hpp"
#include "libloop/report/prediction.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

using Cells = std::vector<std::string>;

constexpr std::array<std::string_view, 4> parts = {"p05", "p50", "p95", "typical"};

void append(Cells& cells, Cells more) {
  for (std::string& cell : more) cells.push_back(std::move(cell));
}

// A result; empty where there is none.
std::string result(double value, bool usable) {
  return usable && std::isfinite(value) ? exact(settled(value)) : "";
}

std::string exact_or_empty(const std::optional<double>& value) {
  return value ? exact(*value) : "";
}

// ---- heads and rows of the columns that belong together

Cells duty_head() {
  return {"load_W",         "fan_fraction", "fan_speed_rpm", "pump_fraction",
          "pump_speed_rpm", "ambient_C",    "altitude_m"};
}

Cells duty_row(const Model& model, const Duty& duty) {
  return {exact(tidy(duty.load)),
          exact(tidy(duty.fan)),
          exact_or_empty(fan_rpm(model, duty)),
          exact(tidy(duty.pump)),
          exact_or_empty(pump_rpm(model, duty)),
          exact(tidy(to_unit(duty.ambient, "C"))),
          exact(duty.altitude)};
}

Cells answers_head(std::string_view before) {
  Cells cells;
  for (const AnswerRow& row : answer_rows) {
    for (const std::string_view part : parts) {
      cells.push_back(fmt::format("{}{}_{}", before, row.key, part));
    }
  }
  return cells;
}

Cells answers_row(const Intervals& answers, bool usable) {
  Cells cells;
  for (const AnswerRow& row : answer_rows) {
    const Interval a = in_unit(answers, row);
    for (const double value : {a.p05, a.p50, a.p95, a.typical}) {
      cells.push_back(result(value, usable));
    }
  }
  return cells;
}

Cells rest_head() {
  Cells cells = {"rise_gradient_K_p05", "rise_gradient_K_p95", "interval_gap_K"};
  for (const BudgetRow& row : budget_rows) cells.push_back(fmt::format("budget_{}_K", row.key));
  append(cells, {"energy_residual", "samples_without_answer", "notes", "usable", "why",
                 "share_above_limit"});
  return cells;
}

Cells rest_row(const PredictedPoint& point) {
  const OperatingPoint& typical = point.typical;
  const bool usable = typical.summary.usable;
  const auto number = [&](double value) { return result(value, usable); };
  Cells cells = {number(point.gradient_p05), number(point.gradient_p95),
                 number(point.interval_gap)};
  for (const double kelvin : typical.budget) cells.push_back(number(kelvin));
  std::string codes;
  for (const Note& note : typical.notes) codes += (codes.empty() ? "" : ";") + note.code;
  const std::string residual = usable ? exact(tidy(typical.energy_residual)) : "";
  append(cells, {residual, std::to_string(point.without_answer), codes, usable ? "true" : "false",
                 usable ? "" : typical.summary.why, result(point.above_limit, point.samples > 0)});
  return cells;
}

Cells point_head() {
  Cells cells = duty_head();
  append(cells, answers_head(""));
  append(cells, rest_head());
  return cells;
}

Cells point_row(const Model& model, const PredictedPoint& point) {
  Cells cells = duty_row(model, point.duty);
  append(cells, answers_row(point.answer, point.typical.summary.usable));
  append(cells, rest_row(point));
  return cells;
}

// ---- columns of each chip and each radiator, behind all others where a loop has several

Cells interval_head(const std::string& name, std::string_view key) {
  Cells cells;
  for (const std::string_view part : parts) {
    cells.push_back(fmt::format("{}.{}_{}", name, key, part));
  }
  return cells;
}

Cells chip_head(const ChipPoint& chip) {
  Cells cells = {chip.name + ".load_W"};
  append(cells, interval_head(chip.name, "rise_K"));
  append(cells, {chip.name + ".coolant_flow_L_per_min", chip.name + ".temperature_C",
                 chip.name + ".limit_C"});
  for (const BudgetRow& row : budget_rows) {
    cells.push_back(fmt::format("{}.budget_{}_K", chip.name, row.key));
  }
  return cells;
}

Cells radiator_head(const RadiatorPoint& radiator) {
  Cells cells;
  for (const char* key : {"heat_W", "intake_K", "coolant_rise_K", "air_flow_m3_per_h"}) {
    cells.push_back(fmt::format("{}.{}", radiator.name, key));
  }
  append(cells, interval_head(radiator.name, "radiator_conductance_W_per_K"));
  return cells;
}

Cells numbers(std::vector<double> values, bool usable) {
  Cells cells;
  for (const double value : values) cells.push_back(result(value, usable));
  return cells;
}

Cells chip_row(const PredictedPoint& point, std::size_t i) {
  const ChipPoint& chip = point.typical.chips[i];
  const bool usable = point.typical.summary.usable;
  const Interval rise = rise_of(point, i);
  Cells cells = numbers({chip.load, rise.p05, rise.p50, rise.p95, rise.typical,
                         to_unit(chip.coolant_flow, "L/min"), to_unit(chip.temperature, "C")},
                        usable);
  cells.push_back(exact(tidy(to_unit(chip.limit, "C"))));
  append(cells, numbers({chip.budget.begin(), chip.budget.end()}, usable));
  return cells;
}

Cells radiator_row(const PredictedPoint& point, std::size_t i) {
  const RadiatorPoint& radiator = point.typical.radiators[i];
  const Interval conductance = conductance_of(point, i);
  return numbers(
      {radiator.heat, radiator.intake, radiator.coolant_rise, to_unit(radiator.air_flow, "m3/h"),
       conductance.p05, conductance.p50, conductance.p95, conductance.typical},
      point.typical.summary.usable);
}

Cells members_head(const Prediction& prediction, const std::string& before) {
  const OperatingPoint& point = prediction.points.front().typical;
  Cells cells;
  if (several_chips(prediction)) {
    for (const ChipPoint& chip : point.chips) append(cells, chip_head(chip));
  }
  if (several_radiators(prediction)) {
    for (const RadiatorPoint& radiator : point.radiators) append(cells, radiator_head(radiator));
  }
  for (std::string& cell : cells) cell.insert(0, before);
  return cells;
}

Cells members_row(const Prediction& prediction, const PredictedPoint& point) {
  Cells cells;
  if (several_chips(prediction)) {
    for (std::size_t i = 0; i < point.typical.chips.size(); ++i) append(cells, chip_row(point, i));
  }
  if (several_radiators(prediction)) {
    for (std::size_t i = 0; i < point.typical.radiators.size(); ++i) {
      append(cells, radiator_row(point, i));
    }
  }
  return cells;
}

}  // namespace

std::string csv(const Model& model, const Prediction& prediction) {
  Cells head = point_head();
  append(head, members_head(prediction, ""));
  std::string out = csv_line(head);
  for (const PredictedPoint& point : prediction.points) {
    Cells cells = point_row(model, point);
    append(cells, members_row(prediction, point));
    out += csv_line(cells);
  }
  return out;
}

std::string csv(const Model& cooler, const Model& other, const Comparison& comparison) {
  Cells head = point_head();
  append(head, {"against_fan_fraction", "against_fan_speed_rpm", "against_pump_fraction",
                "against_pump_speed_rpm"});
  append(head, answers_head("against_"));
  append(head, answers_head("difference_"));
  append(head, members_head(comparison.cooler, ""));
  append(head, members_head(comparison.other, "against_"));
  std::string out = csv_line(head);
  for (std::size_t i = 0; i < comparison.difference.size(); ++i) {
    const PredictedPoint& one = comparison.cooler.points[i];
    const PredictedPoint& two = comparison.other.points[i];
    const bool second = two.typical.summary.usable;
    Cells cells = point_row(cooler, one);
    append(cells, {exact(tidy(two.duty.fan)), exact_or_empty(fan_rpm(other, two.duty)),
                   exact(tidy(two.duty.pump)), exact_or_empty(pump_rpm(other, two.duty))});
    append(cells, answers_row(two.answer, second));
    append(cells, answers_row(comparison.difference[i], second && one.typical.summary.usable));
    append(cells, members_row(comparison.cooler, one));
    append(cells, members_row(comparison.other, two));
    out += csv_line(cells);
  }
  return out;
}

}  // namespace libloop::report
