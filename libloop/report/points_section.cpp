#include <fmt/format.h>

#include <algorithm>

#include "libloop/base/text.hpp"
#include "libloop/report/sections.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

// Columns that a table of points may do without.
struct Shown {
  bool pump;       // some point differs in it from full speed
  bool free_flow;  // share of the fans' free flow
  bool rpm;
};

std::vector<std::string> duty_cells(const Told& told, const PredictedPoint& point, Shown shown) {
  std::vector<std::string> cells = {text::number(point.duty.load), percent_cell(point.duty.fan)};
  if (shown.rpm) {
    const std::optional<double> rpm = fan_rpm(told.model, point.duty);
    cells.push_back(rpm ? fmt::format("{:.0f}", *rpm) : "mixed");
  }
  if (shown.pump) cells.push_back(percent_cell(point.duty.pump));
  return cells;
}

Widths widths_of(const Prediction& prediction) {
  std::vector<Intervals> answers;
  for (const PredictedPoint& point : prediction.points) {
    if (point.typical.summary.usable) answers.push_back(point.answer);
  }
  return column_widths(answers);
}

std::vector<std::string> median_cells(const Told& told, const PredictedPoint& point, Shown shown,
                                      const Widths& widths) {
  std::vector<std::string> cells = duty_cells(told, point, shown);
  const bool usable = point.typical.summary.usable;
  for (const AnswerRow& row : answer_rows) {
    const double width = widths[static_cast<std::size_t>(row.answer)];
    cells.push_back(usable ? rounded(in_unit(point.answer, row).p50, width) : "none");
    if (row.answer == Answer::air_flow && shown.free_flow) {
      cells.push_back(usable ? rounded(100.0 * point.typical.air_share, 100.0) : "");
    }
  }
  return cells;
}

std::vector<std::string> range_cells(const PredictedPoint& point, Shown shown,
                                     const Widths& widths) {
  std::vector<std::string> cells(2u + (shown.rpm ? 1u : 0u) + (shown.pump ? 1u : 0u));
  for (const AnswerRow& row : answer_rows) {
    const double width = widths[static_cast<std::size_t>(row.answer)];
    cells.push_back(range_words(in_unit(point.answer, row), width));
    if (row.answer == Answer::air_flow && shown.free_flow) cells.emplace_back();
  }
  return cells;
}

TextTable points_table(const Told& told, Shown shown) {
  TextTable table;
  table.column("load", "W");
  table.column("fans", "%");
  if (shown.rpm) table.column("", "rpm");
  if (shown.pump) table.column("pump", "%");
  for (const AnswerRow& row : answer_rows) {
    table.column(stacked(row.name), row.unit);
    if (row.answer == Answer::air_flow && shown.free_flow) table.column("of\nfree\nflow", "%");
  }
  const Widths widths = widths_of(told.prediction);
  for (const PredictedPoint& point : told.prediction.points) {
    table.row(median_cells(told, point, shown, widths));
    const bool sampled = point.samples > 0 && point.typical.summary.usable;
    if (sampled) table.row(range_cells(point, shown, widths));
  }
  return table;
}

}  // namespace

std::string points(const Told& told) {
  Shown shown{pump_varies(told.prediction), true, true};
  TextTable table = points_table(told, shown);
  for (bool Shown::*column : {&Shown::free_flow, &Shown::rpm}) {
    if (table.width() <= page_width) break;
    shown.*column = false;
    table = points_table(told, shown);
  }
  std::string head = told.name.empty() ? "Points" : "Points of " + told.name;
  if (several_chips(told.prediction)) {
    head += ", rise and coolant flow of " + first_chip(told.prediction.points.front());
  }
  if (!without_samples(told.prediction)) head += ": median, and below it 5 to 95 %";
  return '\n' + paragraph("", head) + table.text();
}

}  // namespace libloop::report
