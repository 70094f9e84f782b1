#include <fmt/format.h>

#include <array>

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

// ---- heads and rows of the columns that belong together

Cells duty_head() {
  return {"load_W",         "fan_fraction", "fan_speed_rpm", "pump_fraction",
          "pump_speed_rpm", "ambient_C",    "altitude_m"};
}

Cells duty_row(const Model& model, const Duty& duty) {
  const std::optional<double> rpm = fan_rpm(model, duty);
  return {exact(duty.load),
          exact(duty.fan),
          rpm ? exact(*rpm) : "",
          exact(duty.pump),
          exact(pump_rpm(model, duty)),
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
      cells.push_back(usable ? exact(value) : "");
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
  const auto number = [&](double value) { return usable ? exact(value) : std::string(); };
  Cells cells = {number(point.gradient_p05), number(point.gradient_p95),
                 number(point.interval_gap)};
  for (const double kelvin : typical.budget) cells.push_back(number(kelvin));
  std::string codes;
  for (const Note& note : typical.notes) codes += (codes.empty() ? "" : ";") + note.code;
  append(cells, {number(typical.energy_residual), std::to_string(point.without_answer), codes,
                 usable ? "true" : "false", usable ? "" : typical.summary.why,
                 point.samples > 0 ? exact(point.above_limit) : ""});
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

}  // namespace

std::string csv(const Model& model, const Prediction& prediction) {
  std::string out = csv_line(point_head());
  for (const PredictedPoint& point : prediction.points) out += csv_line(point_row(model, point));
  return out;
}

std::string csv(const Model& cooler, const Model& other, const Comparison& comparison) {
  Cells head = point_head();
  append(head, {"against_fan_fraction", "against_fan_speed_rpm"});
  append(head, answers_head("against_"));
  append(head, answers_head("difference_"));
  std::string out = csv_line(head);
  for (std::size_t i = 0; i < comparison.difference.size(); ++i) {
    const PredictedPoint& one = comparison.cooler.points[i];
    const PredictedPoint& two = comparison.other.points[i];
    const bool second = two.typical.summary.usable;
    const std::optional<double> rpm = fan_rpm(other, two.duty);
    Cells cells = point_row(cooler, one);
    append(cells, {exact(two.duty.fan), rpm ? exact(*rpm) : ""});
    append(cells, answers_row(two.answer, second));
    append(cells, answers_row(comparison.difference[i], second && one.typical.summary.usable));
    out += csv_line(cells);
  }
  return out;
}

}  // namespace libloop::report
