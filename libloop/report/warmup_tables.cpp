#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/text.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/warmup_sections.hpp"
#include "libloop/report/warmup_words.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

using Align = TextTable::Align;
using Cells = std::vector<std::string>;

// Columns of a duty that a table may do without.
struct DutyColumns {
  bool pump, rpm;
};

bool pump_varies(const WarmupPrediction& prediction) {
  return std::any_of(prediction.points.begin(), prediction.points.end(),
                     [](const WarmupPoint& p) { return p.asked.duty.pump != 1.0; });
}

bool sampled(const WarmupPrediction& prediction) {
  return std::any_of(prediction.points.begin(), prediction.points.end(),
                     [](const WarmupPoint& p) { return p.samples > 0; });
}

void add_duty_columns(TextTable& table, DutyColumns shown) {
  table.column("load", "W");
  table.column("fans", "%");
  if (shown.rpm) table.column("", "rpm");
  if (shown.pump) table.column("pump", "%");
}

Cells duty_cells(const Model& model, const Duty& duty, DutyColumns shown) {
  Cells cells = {text::number(duty.load), percent_cell(duty.fan)};
  if (shown.rpm) {
    const std::optional<double> rpm = fan_rpm(model, duty);
    cells.push_back(rpm ? fmt::format("{:.0f}", *rpm) : "mixed");
  }
  if (shown.pump) cells.push_back(percent_cell(duty.pump));
  return cells;
}

Cells blank(DutyColumns shown) {
  return Cells(2u + (shown.rpm ? 1u : 0u) + (shown.pump ? 1u : 0u));
}

void append(Cells& cells, Cells more) {
  for (std::string& cell : more) cells.push_back(std::move(cell));
}

// "0.12"; what rounds to nothing has no sign.
std::string hundredths(double value) {
  const std::string cell = fmt::format("{:.2f}", value);
  return cell == "-0.00" ? "0.00" : cell;
}

// ---- waits

// What a row is of, where it settles, and its wait for each band.
struct Row {
  std::string of;
  const Interval* settled;
  std::vector<const Interval*> time;
};

std::vector<Row> rows_of(const WarmupPoint& point) {
  Row reading{"reading", &point.settled_rise, {}};
  Row coolant{"coolant", &point.settled_coolant_rise, {}};
  for (const Settling& settling : point.settling) {
    reading.time.push_back(&settling.reading);
    coolant.time.push_back(&settling.coolant);
  }
  std::vector<Row> rows = {std::move(reading)};
  for (const ChipWait& chip : point.other_chips) {
    Row other{chip.name, &chip.settled_rise, {}};
    for (const Interval& time : chip.time) other.time.push_back(&time);
    rows.push_back(std::move(other));
  }
  rows.push_back(std::move(coolant));
  return rows;
}

// Bands that stand beside each other in one table.
struct Bands {
  std::size_t first, last;
};

void add_wait_rows(TextTable& table, const Model& model, const WarmupPoint& point, Bands bands,
                   DutyColumns shown) {
  Cells head = duty_cells(model, point.asked.duty, shown);
  if (!usable(point)) {
    append(head, {"reading", "none"});
    table.row(std::move(head));
    return;
  }
  for (const Row& row : rows_of(point)) {
    Cells cells = std::move(head), below = blank(shown);
    head = blank(shown);
    append(cells, {row.of, median(*row.settled)});
    append(below, {"", range_words(*row.settled)});
    for (std::size_t b = bands.first; b < bands.last; ++b) {
      const Interval& time = *row.time[b];
      cells.push_back(clock(time, time.p50, followed(point)));
      below.push_back(clock_range(time, followed(point)));
    }
    table.row(std::move(cells));
    if (point.samples > 0) table.row(std::move(below));
  }
}

std::string waits_table(const Model& model, const WarmupPrediction& prediction, Bands bands) {
  DutyColumns shown{pump_varies(prediction), true};
  TextTable table;
  add_duty_columns(table, shown);
  table.column("of", "", Align::left);
  table.column("settled", "K");
  for (std::size_t b = bands.first; b < bands.last; ++b) {
    table.column("within\n" + text::number(prediction.bands[b], 3) + " K", clock_unit);
  }
  for (const WarmupPoint& point : prediction.points) {
    add_wait_rows(table, model, point, bands, shown);
  }
  return table.text();
}

std::string begin_words(const WarmupPoint& point) {
  if (moves(point)) return "the profile's last row";
  return point.asked.start.soak ? "the end of the soak" : "the start";
}

// "Waits from switching on: median, and below it 5 to 95 %"
std::string waits_head(const WarmupPrediction& prediction) {
  const WarmupPoint& first = prediction.points.front();
  std::string head = fmt::format("Waits from {} on", begin_words(first));
  const WarmupPoint* const one = slowest(prediction);
  const std::size_t chips = one == nullptr ? 0 : one->typical->settled().chips.size();
  if (chips > 1) head += ", " + reading_words(*one);
  return head + (sampled(prediction) ? ": median, and below it 5 to 95 %" : "");
}

// ---- habits

void add_habit_rows(TextTable& table, const Model& model, const WarmupPoint& point,
                    DutyColumns shown) {
  bool first = true;
  for (const HabitResult& result : point.habits) {
    Cells cells = first ? duty_cells(model, point.asked.duty, shown) : blank(shown);
    first = false;
    const bool ends = std::isfinite(result.time.p50);
    append(cells,
           {habit_words(result.habit), clock(result.time, result.time.p50, followed(point))});
    if (point.samples > 0) {
      append(cells, {clock_range(result.time, followed(point)), ends ? median(result.error) : "",
                     ends ? range_words(result.error) : ""});
    } else {
      cells.push_back(ends ? hundredths(result.error.typical) : "");
    }
    table.row(std::move(cells));
  }
}

}  // namespace

std::string waits(const Model& model, const WarmupPrediction& prediction) {
  constexpr std::size_t beside = 3;
  std::string out = '\n' + paragraph("", waits_head(prediction));
  for (std::size_t b = 0; b < prediction.bands.size(); b += beside) {
    if (b > 0) out += '\n';
    out += waits_table(model, prediction, {b, std::min(b + beside, prediction.bands.size())});
  }
  return out + paragraph("  ", "Wait: until it stays within so much of its settled value.");
}

std::string creep(const Model& model, const WarmupPrediction& prediction) {
  const WarmupPoint* const point = slowest(prediction);
  if (point == nullptr || point->creep.empty()) return {};
  TextTable table;
  table.column("after", clock_unit);
  table.column("rise", "K");
  table.column("still\nmissing", "K");
  table.column("creeps by", "K/min");
  for (const Creep& row : point->creep) {
    constexpr double minute = 60.0;
    table.row({clock({}, row.time, 0.0), hundredths(row.rise), hundredths(row.left),
               hundredths(minute * row.rate)});
  }
  return '\n' +
         paragraph("", fmt::format("What creeps on at {}, all quantities at their typical values",
                                   duty_words(model, point->asked.duty))) +
         table.text() +
         paragraph("  ",
                   "A pause in the first half minute is not the end: warm coolant has yet to come "
                   "round.");
}

std::string habits(const Model& model, const WarmupPrediction& prediction) {
  const DutyColumns shown{pump_varies(prediction), true};
  TextTable table;
  add_duty_columns(table, shown);
  table.column("unchanged by", "", Align::left);
  table.column("ends the\nwait after", clock_unit);
  if (sampled(prediction)) table.column("5 to 95 %", clock_unit);
  table.column("and leaves", "K");
  if (sampled(prediction)) table.column("5 to 95 %", "K");
  bool any = false;
  for (const WarmupPoint& point : prediction.points) {
    any = any || !point.habits.empty();
    add_habit_rows(table, model, point, shown);
  }
  if (!any) return {};
  return "\nHabits: the wait ends when the reading has moved by no more than so much in so long\n" +
         table.text() +
         paragraph("  ",
                   "Leaves: settled less reading at that moment; minus: the reading still lies "
                   "above its settled value.");
}

}  // namespace libloop::report
