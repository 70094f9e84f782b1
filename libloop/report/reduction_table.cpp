#include "libloop/report/reduction_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <optional>
#include <utility>

#include "libloop/base/text.hpp"
#include "libloop/quantity/unit.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

using Points = std::vector<PointAt>;
using Part = std::optional<double> MeasuredState::*;

double doubt_of(const ReducedPoint& point) { return expanded(point.budget, point.u); }

struct StateColumn {
  Part part;
  const char *head, *unit;  // unit: of the trade
  int decimals;
};

// In the order of the table; a share of rated speed stands before its rpm.
constexpr std::array<StateColumn, 8> state_columns{{
    {&MeasuredState::load, "load", "W", 1},
    {&MeasuredState::preset, "preset", "W", 1},
    {&MeasuredState::fan_share, "fans", "%", 0},
    {&MeasuredState::fan_speed, "fans", "rpm", 0},
    {&MeasuredState::pump_share, "pump", "%", 0},
    {&MeasuredState::pump_speed, "pump", "rpm", 0},
    {&MeasuredState::flow, "flow", "L/min", 2},
    {&MeasuredState::coolant_rise, "coolant", "K", 1},
}};

bool any_has(const Points& points, Part part) {
  return std::any_of(points.begin(), points.end(),
                     [&](const PointAt& at) { return (at.point->state.*part).has_value(); });
}

std::vector<StateColumn> shown_columns(const Points& points) {
  std::vector<StateColumn> shown;
  for (const StateColumn& column : state_columns) {
    const bool twice =
        column.part == &MeasuredState::preset && any_has(points, &MeasuredState::load);
    if (any_has(points, column.part) && !twice) shown.push_back(column);
  }
  return shown;
}

std::string state_cell(const MeasuredState& state, const StateColumn& column) {
  const std::optional<double>& value = state.*column.part;
  return value ? fmt::format("{:.{}f}", to_unit(*value, column.unit), column.decimals) : "";
}

// "34.2", "<28"; the level as logged where none was joined.
std::string level_cell(const ReducedPoint& point) {
  if (point.level) {
    return (point.level->bound ? "<" : "") + fmt::format("{:.1f}", point.level->level);
  }
  return point.state.sound ? fmt::format("{:.1f}", *point.state.sound) : "";
}

// The sharpest point of the table rounds its columns.
double rounding_width(const Points& points) {
  double width = 0.0;
  for (const PointAt& at : points) {
    const double own = 2.0 * doubt_of(*at.point);
    if (own > 0.0 && (width == 0.0 || own < width)) width = own;
  }
  constexpr double finest = 0.1;  // K: two decimals at most
  return std::max(width, finest);
}

TextTable table_with(const Points& points, const std::vector<StateColumn>& columns) {
  const double width = rounding_width(points);
  const bool levels = std::any_of(points.begin(), points.end(),
                                  [](const PointAt& at) { return !level_cell(*at.point).empty(); });
  TextTable table;
  table.column("#");
  table.column("window", "min:s");
  for (const StateColumn& column : columns) table.column(column.head, column.unit);
  table.column("rise", "K");
  table.column("+- (95 %)", "K");
  if (levels) table.column("noise", "dBA");
  table.column("creep", "K/min");
  table.column("settled", {}, TextTable::Align::left);
  table.column("held", {}, TextTable::Align::left);
  for (const PointAt& at : points) {
    const ReducedPoint& point = *at.point;
    std::vector<std::string> cells = {std::to_string(at.number),
                                      clock_at(point.start) + " to " + clock_at(point.end)};
    for (const StateColumn& column : columns) cells.push_back(state_cell(point.state, column));
    cells.push_back((point.held ? "" : ">=") + rounded(point.rise, width));
    cells.push_back(rounded(doubt_of(point), width));
    if (levels) cells.push_back(level_cell(point));
    cells.push_back(rounded(60.0 * point.creep, 0.1));
    cells.push_back(point.settled ? "yes" : "no");
    cells.push_back(point.held ? "yes" : "no");
    table.row(std::move(cells));
  }
  return table;
}

}  // namespace

std::string point_table(const std::vector<PointAt>& points) {
  std::vector<StateColumn> columns = shown_columns(points);
  for (const Part part : {&MeasuredState::flow, &MeasuredState::pump_speed,
                          &MeasuredState::pump_share, &MeasuredState::fan_speed}) {
    if (table_with(points, columns).width() <= page_width) break;
    std::erase_if(columns, [&](const StateColumn& column) { return column.part == part; });
  }
  return table_with(points, columns).text();
}

}  // namespace libloop::report
