#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/text.hpp"
#include "libloop/quantity/unit.hpp"
#include "libloop/report/how_read.hpp"
#include "libloop/report/reduction.hpp"
#include "libloop/report/reduction_table.hpp"
#include "libloop/report/reduction_words.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

using Points = std::vector<PointAt>;

// "45.6 +- 0.9 K", "at least 45.6 K"
std::string rise_words(const ReducedPoint& point) {
  const double doubt = expanded(point.budget, point.u);
  if (!point.held) return fmt::format("at least {} K", rounded(point.rise, 2.0 * doubt));
  return fmt::format("{} +- {} K (95 %)", rounded(point.rise, 2.0 * doubt),
                     rounded(doubt, 2.0 * doubt));
}

std::string where_words(std::span<const ReducedLog> logs) {
  if (logs.size() == 1) return file_name(logs.front().log.file);
  return fmt::format("{} logs", logs.size());
}

// "5 steady points in monday.csv", "5 points in monday.csv, 3 of them steady"
std::string count_words(std::span<const ReducedLog> logs, const Points& points) {
  const auto all = static_cast<long long>(points.size());
  const auto settled = std::count_if(points.begin(), points.end(),
                                     [](const PointAt& at) { return at.point->settled; });
  const std::string where = where_words(logs);
  if (settled == all) {
    return fmt::format("{} in {}", counted(all, "steady point", "steady points"), where);
  }
  if (all == 1) return fmt::format("1 point in {}, not steady yet", where);
  return fmt::format("{} points in {}, {} of them steady", all, where,
                     settled == 0 ? "none" : std::to_string(settled));
}

std::string headline(std::span<const ReducedLog> logs, const Points& points) {
  if (points.empty()) {
    return fmt::format("No point in {}: no stretch of it is long enough.", where_words(logs));
  }
  const ReducedPoint& top = *hottest(points);
  const std::string set = set_words(top.state);
  const std::string which = points.size() == 1
                                ? (set.empty() ? "" : set + ", ")
                                : (set.empty() ? "the hottest " : "the hottest, at " + set + ", ");
  return fmt::format("{}: {}{} over ambient.", count_words(logs, points), which, rise_words(top));
}

// ---- cautions

std::string cautions(const Points& points) {
  std::string out;
  for (const PointAt& at : points) {
    if (at.point->held) continue;
    const std::string set = set_words(at.point->state);
    out += paragraph(
        "CAUTION  ",
        fmt::format("Point {}{}: {}. The rise is a lower bound. Do not run this load unattended; "
                    "the makers' limits count.",
                    at.number, set.empty() ? "" : " (" + set + ")",
                    at.point->throttled ? "the power sagged, as a chip at its limit lets it"
                                        : "the chip came to its limit before the end"));
  }
  return out.empty() ? out : '\n' + out;
}

// ---- sections

std::string tables(std::span<const ReducedLog> logs, const Points& points) {
  std::string out;
  for (std::size_t i = 0; i < logs.size(); ++i) {
    Points own;
    std::copy_if(points.begin(), points.end(), std::back_inserter(own),
                 [&](const PointAt& at) { return at.log == i; });
    if (own.empty()) continue;
    out += "\nPoints";
    if (logs.size() > 1) out += " of " + file_name(logs[i].log.file);
    out += '\n' + point_table(own);
  }
  return out;
}

// ---- what stands below it

std::string doubts(const Points& points) {
  std::string out;
  for (const PointAt& at : points) {
    const std::string largest = largest_doubts(*at.point);
    if (largest.empty()) continue;
    out += paragraph(fmt::format("  {:>2}  ", at.number),
                     fmt::format("u = {} K: {}", text::number(at.point->u, 2), largest));
  }
  return out.empty() ? out
                     : "\nWhat the doubt of each rise is made of (standard uncertainties)\n" + out;
}

std::string balances(const Points& points) {
  TextTable table;
  table.column("#");
  table.column("read", "W");
  table.column("+- (2 u)", "W");
  table.column("carried", "W");
  table.column("+- (2 u)", "W");
  table.column("closes", {}, TextTable::Align::left);
  table.column("limited by", {}, TextTable::Align::left);
  bool any = false;
  for (const PointAt& at : points) {
    if (!at.point->balance) continue;
    any = true;
    const HeatBalance& heat = *at.point->balance;
    table.row({std::to_string(at.number), rounded(heat.load, 4.0 * heat.u_load),
               rounded(2.0 * heat.u_load, 4.0 * heat.u_load),
               rounded(heat.carried, 4.0 * heat.u_carried),
               rounded(2.0 * heat.u_carried, 4.0 * heat.u_carried), heat.closes ? "yes" : "no",
               heat.limiting});
  }
  return any ? "\nHeat balance: what the bench reads and what the coolant carries\n" + table.text()
             : "";
}

std::string notes(std::span<const ReducedLog> logs, const Points& points) {
  std::string out;
  for (const PointAt& at : points) {
    for (const std::string& note : at.point->notes) {
      out += paragraph("  - ", fmt::format("point {}: {}", at.number, sentence(note)));
    }
    if (!at.point->level) continue;
    for (const std::string& note : at.point->level->notes) {
      out += paragraph("  - ", fmt::format("point {}, noise: {}", at.number, sentence(note)));
    }
  }
  for (const ReducedLog& one : logs) {
    const std::string who = logs.size() > 1 ? file_name(one.log.file) + ": " : "";
    for (const LeftOut& left : one.reduction.left_out) {
      out += paragraph("  - ",
                       fmt::format("{}without a point: {}, {}", who,
                                   counted(left.count, "step", "steps"), sentence(left.reason)));
    }
    for (const std::string& note : one.reduction.notes) {
      out += paragraph("  - ", who + sentence(note));
    }
  }
  return out.empty() ? out : "\nNotes\n" + out;
}

}  // namespace

std::string text(std::span<const ReducedLog> logs) {
  need_logs(logs);
  const Points points = points_of(logs);
  std::vector<HowRead> files;
  for (const ReducedLog& one : logs) {
    files.push_back(
        {file_name(one.log.file), one.log.rows_read, &one.log.decisions, &one.log.left_out});
  }
  return paragraph("", headline(logs, points)) + cautions(points) + tables(logs, points) +
         doubts(points) + balances(points) + notes(logs, points) + how_read(files);
}

}  // namespace libloop::report
