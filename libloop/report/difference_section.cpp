// What two coolers differ by, point by point.
#include <fmt/format.h>

#include <algorithm>

#include "libloop/base/text.hpp"
#include "libloop/report/sections.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

using Cells = std::vector<std::string>;
using Rows = std::vector<AnswerRow>;

// How many columns tell the speeds: two tell those of both coolers.
struct Shown {
  int fans, pumps;
};

bool alike_at_all_points(const Comparison& comparison, double Duty::*speed) {
  const std::vector<PredictedPoint>&a = comparison.cooler.points, &b = comparison.other.points;
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [&](const PredictedPoint& p, const PredictedPoint& q) {
                      return p.duty.*speed == q.duty.*speed;
                    });
}

int pump_columns(const Comparison& comparison) {
  if (!pump_varies(comparison.cooler) && !pump_varies(comparison.other)) return 0;
  return alike_at_all_points(comparison, &Duty::pump) ? 1 : 2;
}

// One table: the points, and some of the answers.
class Differences {
 public:
  Differences(const Comparison& comparison, Shown shown) : comparison_(comparison), shown_(shown) {
    std::vector<Intervals> usable_ones;
    for (std::size_t i = 0; i < comparison.difference.size(); ++i) {
      if (both_usable(comparison, i)) usable_ones.push_back(comparison.difference[i]);
    }
    widths_ = column_widths(usable_ones);
  }

  TextTable table(const Rows& rows) const {
    TextTable table;
    table.column("load", "W");
    speed_columns(table, "fans", shown_.fans);
    speed_columns(table, "pump", shown_.pumps);
    for (const AnswerRow& row : rows) table.column(stacked(row.name), row.unit);
    for (std::size_t i = 0; i < comparison_.difference.size(); ++i) {
      const bool usable = both_usable(comparison_, i);
      table.row(medians(i, rows, usable));
      if (usable && !without_samples(comparison_.cooler)) table.row(ranges(i, rows));
    }
    return table;
  }

 private:
  static void speed_columns(TextTable& table, const std::string& what, int count) {
    if (count == 1) table.column(what, "%");
    if (count < 2) return;
    table.column(what + ",\nfirst", "%");
    table.column(what + ",\nsecond", "%");
  }

  Cells speeds(std::size_t i) const {
    const Duty& first = comparison_.cooler.points[i].duty;
    const Duty& second = comparison_.other.points[i].duty;
    Cells cells = {text::number(first.load)};
    if (shown_.fans > 0) cells.push_back(percent_cell(first.fan));
    if (shown_.fans > 1) cells.push_back(percent_cell(second.fan));
    if (shown_.pumps > 0) cells.push_back(percent_cell(first.pump));
    if (shown_.pumps > 1) cells.push_back(percent_cell(second.pump));
    return cells;
  }

  double width(const AnswerRow& row) const { return widths_[static_cast<std::size_t>(row.answer)]; }

  Cells medians(std::size_t i, const Rows& rows, bool usable) const {
    Cells cells = speeds(i);
    for (const AnswerRow& row : rows) {
      const Interval d = in_unit(comparison_.difference[i], row);
      cells.push_back(usable ? rounded(d.p50, width(row)) : "none");
    }
    return cells;
  }

  Cells ranges(std::size_t i, const Rows& rows) const {
    Cells cells(speeds(i).size());
    for (const AnswerRow& row : rows) {
      cells.push_back(range_words(in_unit(comparison_.difference[i], row), width(row)));
    }
    return cells;
  }

  const Comparison& comparison_;
  Shown shown_;
  Widths widths_;
};

// The answers in one table when a page holds it, else in several below each other.
std::string tables(const Comparison& comparison) {
  const Rows all(answer_rows.begin(), answer_rows.end());
  Shown shown{2, pump_columns(comparison)};
  const bool wide = Differences(comparison, shown).table(all).width() > page_width;
  if (wide && alike_at_all_points(comparison, &Duty::fan)) shown.fans = 1;
  const Differences differences(comparison, shown);
  std::string out;
  for (auto from = all.begin(); from != all.end();) {
    auto to = all.end();
    while (to - from > 1 && differences.table({from, to}).width() > page_width) --to;
    out += (out.empty() ? "" : "\n") + differences.table({from, to}).text();
    from = to;
  }
  return out;
}

}  // namespace

bool both_usable(const Comparison& comparison, std::size_t point) {
  return comparison.cooler.points[point].typical.summary.usable &&
         comparison.other.points[point].typical.summary.usable;
}

std::string difference(const std::string& first, const std::string& second,
                       const Comparison& comparison, bool alike) {
  const PredictedPoint& point = comparison.cooler.points.front();
  const std::string whose = several_chips(comparison.cooler)
                                ? ", rise and coolant flow of " + first_chip(point)
                                : std::string();
  const bool sampled = !without_samples(comparison.cooler);
  const std::string_view varies = alike ? "what both have by one name varies together, the rest on "
                                          "its own"
                                        : "what belongs to one cooler varies on its own";
  return '\n' +
         paragraph("", fmt::format("Difference, {} less {}{}{}", first, second, whose,
                                   sampled ? ": median, and below it 5 to 95 %" : "")) +
         tables(comparison) +
         paragraph("  ", fmt::format("Bench and laws are common to both and drop out where they "
                                     "act alike; {}.",
                                     varies));
}

}  // namespace libloop::report
