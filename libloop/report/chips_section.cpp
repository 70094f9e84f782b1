// What a loop with several chips or several radiators has to say of each.
#include <fmt/format.h>

#include <algorithm>
#include <functional>

#include "libloop/base/text.hpp"
#include "libloop/quantity/unit.hpp"
#include "libloop/report/sections.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

using Align = TextTable::Align;

constexpr double third_digit = 0.1;  // of a value: the width whose second digit is the third

// One number of every chip or radiator at every point, with its column's decimals.
class Column {
 public:
  explicit Column(std::vector<Interval> values) : values_(std::move(values)) {
    double largest = 0.0;
    for (const Interval& v : values_) {
      width_ = std::max(width_, v.p95 - v.p05);
      largest = std::max(largest, std::abs(v.p50));
    }
    if (width_ <= 1e-4) width_ = third_digit * largest;
  }
  std::string median(std::size_t row) const { return rounded(values_[row].p50, width_); }
  std::string range(std::size_t row) const { return range_words(values_[row], width_); }

 private:
  std::vector<Interval> values_;
  double width_ = 0.0;
};

Interval exactly(double value) { return {value, value, value, value}; }

// One chip or radiator at one usable point.
struct Item {
  const PredictedPoint* point;
  std::size_t index;
};

template <class Members>
std::vector<Item> items_of(const Prediction& prediction, const Members& members) {
  std::vector<Item> items;
  for (const PredictedPoint& point : prediction.points) {
    if (!point.typical.summary.usable) continue;
    for (std::size_t i = 0; i < members(point).size(); ++i) items.push_back({&point, i});
  }
  return items;
}

Column column_of(const std::vector<Item>& items,
                 const std::function<Interval(const Item&)>& value) {
  std::vector<Interval> values;
  for (const Item& item : items) values.push_back(value(item));
  return Column(std::move(values));
}

// The cells that say at which point a row stands: on the first row of the point only.
std::vector<std::string> point_cells(const Item& item, bool pump) {
  const Duty& duty = item.point->duty;
  std::vector<std::string> cells = {text::number(duty.load), percent_cell(duty.fan)};
  if (pump) cells.push_back(percent_cell(duty.pump));
  if (item.index > 0) cells.assign(cells.size(), "");
  return cells;
}

bool several_points(const Prediction& prediction) { return prediction.points.size() > 1; }

void open(TextTable& table, const Prediction& prediction, std::string_view what) {
  if (several_points(prediction)) {
    table.column("load", "W");
    table.column("fans", "%");
    if (pump_varies(prediction)) table.column("pump", "%");
  }
  table.column(what, "", Align::left);
}

std::vector<std::string> opened(const Item& item, const Prediction& prediction,
                                const std::string& name) {
  std::vector<std::string> cells;
  if (several_points(prediction)) cells = point_cells(item, pump_varies(prediction));
  cells.push_back(name);
  return cells;
}

// Only `sampled` has an interval.
std::string head_of(std::string_view what, const Told& told, std::string_view sampled) {
  std::string head(what);
  if (!told.name.empty()) head += " of " + told.name;
  if (!without_samples(told.prediction)) {
    head += fmt::format(", typical values; of the {} the median, and below it 5 to 95 %", sampled);
  }
  return '\n' + paragraph("", head);
}

// ---- chips

std::string chips_table(const Told& told, const std::vector<Item>& items) {
  const auto chip = [](const Item& item) -> const ChipPoint& {
    return item.point->typical.chips[item.index];
  };
  const Column rise =
      column_of(items, [](const Item& item) { return rise_of(*item.point, item.index); });
  const Column load = column_of(items, [&](const Item& i) { return exactly(chip(i).load); });
  const Column flow = column_of(
      items, [&](const Item& i) { return exactly(to_unit(chip(i).coolant_flow, "L/min")); });
  TextTable table;
  open(table, told.prediction, "chip");
  table.column("gives\noff", "W");
  table.column("rise", "K");
  table.column("coolant\nflow", "L/min");
  table.column("hottest\npoint", "C");
  table.column("limit", "C");
  for (std::size_t k = 0; k < items.size(); ++k) {
    const ChipPoint& c = chip(items[k]);
    std::vector<std::string> cells = opened(items[k], told.prediction, c.name);
    const std::size_t before = cells.size() + 1;
    for (std::string cell :
         {load.median(k), rise.median(k), flow.median(k),
          rounded(to_unit(c.temperature, "C"), 100.0), rounded(to_unit(c.limit, "C"), 100.0)}) {
      cells.push_back(std::move(cell));
    }
    table.row(std::move(cells));
    if (items[k].point->samples == 0) continue;
    std::vector<std::string> below(before);
    below.push_back(rise.range(k));
    table.row(std::move(below));
  }
  return table.text();
}

TextTable budget_table(const std::vector<ChipPoint>& chips, std::size_t first, std::size_t count) {
  TextTable table;
  table.column("", "", Align::left);
  for (std::size_t i = first; i < first + count; ++i) {
    std::string name = chips[i].name;
    const std::size_t dot = name.find('.');
    if (dot != std::string::npos) name.replace(dot, 1, ".\n");
    table.column(name, "K");
    table.column("share", "%");
  }
  for (std::size_t k = 0; k <= budget_rows.size(); ++k) {
    const bool sum = k == budget_rows.size();
    std::vector<std::string> cells = {sum ? "rise" : std::string(budget_rows[k].name)};
    bool any = sum;
    for (std::size_t i = first; i < first + count; ++i) {
      constexpr double least_rise = 0.5;  // K, of which shares mean something
      const double kelvin = sum ? chips[i].rise : chips[i].budget[k];
      any = any || kelvin != 0.0;
      cells.push_back(kelvins(kelvin));
      const bool share = std::abs(chips[i].rise) > least_rise;
      cells.push_back(share ? rounded(100.0 * kelvin / chips[i].rise, 100.0) : "");
    }
    if (any) table.row(std::move(cells));
  }
  return table;
}

// ---- radiators

std::string radiators_table(const Told& told, const std::vector<Item>& items) {
  const auto radiator = [](const Item& item) -> const RadiatorPoint& {
    return item.point->typical.radiators[item.index];
  };
  const auto column = [&](const std::function<double(const RadiatorPoint&)>& value) {
    return column_of(items, [&](const Item& i) { return exactly(value(radiator(i))); });
  };
  const Column heat = column([](const RadiatorPoint& r) { return r.heat; });
  const Column air = column([](const RadiatorPoint& r) { return to_unit(r.air_flow, "m3/h"); });
  const Column conductance =
      column_of(items, [](const Item& item) { return conductance_of(*item.point, item.index); });
  TextTable table;
  open(table, told.prediction, "radiator");
  table.column("heat\nto air", "W");
  table.column("intake\nover\nambient", "K");
  table.column("coolant\nover\nintake", "K");
  table.column("conductance", "W/K");
  table.column("air\nflow", "m3/h");
  for (std::size_t k = 0; k < items.size(); ++k) {
    const RadiatorPoint& r = radiator(items[k]);
    std::vector<std::string> cells = opened(items[k], told.prediction, r.name);
    const std::size_t before = cells.size() + 3;
    for (std::string cell : {heat.median(k), kelvins(r.intake), kelvins(r.coolant_rise),
                             conductance.median(k), air.median(k)}) {
      cells.push_back(std::move(cell));
    }
    table.row(std::move(cells));
    if (items[k].point->samples == 0) continue;
    std::vector<std::string> below(before);
    below.push_back(conductance.range(k));
    table.row(std::move(below));
  }
  return table.text();
}

}  // namespace

std::string chips(const Told& told) {
  const std::vector<Item> items = items_of(
      told.prediction, [](const PredictedPoint& p) -> const auto& { return p.typical.chips; });
  if (!several_chips(told.prediction) || items.empty()) return {};
  return head_of("Chips", told, "rise") + chips_table(told, items);
}

// Chips beside each other, as many as a page holds.
std::string chip_budgets(const Told& told) {
  const PredictedPoint& point = hottest(told.prediction);
  const std::vector<ChipPoint>& chips = point.typical.chips;
  if (!point.typical.summary.usable) return {};
  std::string out;
  for (std::size_t first = 0; first < chips.size();) {
    std::size_t count = chips.size() - first;
    while (count > 1 && budget_table(chips, first, count).width() > page_width) --count;
    out += (out.empty() ? "" : "\n") + budget_table(chips, first, count).text();
    first += count;
  }
  return '\n' +
         paragraph("", fmt::format("Where the kelvins of each chip go at {}, all quantities at "
                                   "their typical values",
                                   duty_words(told.model, point.duty))) +
         out;
}

std::string radiators(const Told& told) {
  const std::vector<Item> items = items_of(
      told.prediction, [](const PredictedPoint& p) -> const auto& { return p.typical.radiators; });
  if (!several_radiators(told.prediction) || items.empty()) return {};
  return head_of("Radiators", told, "conductance") + radiators_table(told, items);
}

}  // namespace libloop::report
