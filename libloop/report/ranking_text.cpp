#include <fmt/format.h>

#include <algorithm>

#include "libloop/base/text.hpp"
#include "libloop/quantity/unit.hpp"
#include "libloop/report/chart_text.hpp"
#include "libloop/report/ranking.hpp"
#include "libloop/report/ranking_words.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

using Rows = std::vector<RankedCooler>;

// "Invented 240", "Invented 240 and 3 more"
std::string some_of(const std::vector<std::string>& titles) {
  constexpr std::size_t most = 3;
  if (titles.size() <= most) return text::list(titles);
  return fmt::format("{}, {} and {} more", titles[0], titles[1], titles.size() - 2);
}

std::string headline(const Ranking& ranking) {
  const std::string at = "At " + condition_words(ranking.condition);
  if (ranking.rows.empty()) return at + " no cooler can be ranked; below it says why.";
  const RankedCooler& best = ranking.rows.front();
  // Of a bound nobody knows whether it is the best.
  const char* first = best.value.bound    ? "first"
                      : by_noise(ranking) ? "the quietest"
                                          : "the coolest";
  const std::string place = ranking.rows.size() == 1
                                ? ""
                                : fmt::format(" is {} of {} coolers", first, ranking.rows.size());
  std::string words = fmt::format("{}, {}{}: {}", at, plain(best.title), place,
                                  value_words(ranking, best.value, ", 5-95 %"));
  const std::vector<std::string> tied = tied_with_best(ranking);
  if (!tied.empty()) words += "; not told apart from it: " + some_of(tied);
  return words + '.';
}

std::string under_test_words(const ToldRanking& told) {
  const Rows& rows = told.ranking.rows;
  const auto found = std::find_if(rows.begin(), rows.end(), [&](const RankedCooler& cooler) {
    return cooler.title == told.under_test;
  });
  if (told.under_test.empty() || found == rows.begin() || found == rows.end()) return {};
  return '\n' +
         paragraph("", fmt::format("{} is number {} of {}, in group {}: {}.", plain(found->title),
                                   found - rows.begin() + 1, rows.size(), found->group,
                                   value_words(told.ranking, found->value)));
}

// ---- the table

double rounding_width(const Rows& rows) {
  double width = 0.0;
  for (const RankedCooler& cooler : rows) {
    const Interval interval = own_interval(cooler.value);
    const double own = interval.p95 - interval.p05;
    if (own > 0.0 && (width == 0.0 || own < width)) width = own;
  }
  constexpr double finest = 0.1;  // K or dB: two decimals at most
  return std::max(width, finest);
}

// A rise is at least its bound, a level at most.
std::string bound_mark(const Valued& value, bool noise) {
  return value.bound ? (noise ? "<=" : ">=") : "";
}

std::string other_cell(const RankedCooler& cooler, bool noise) {
  const std::optional<Valued>& other = noise ? cooler.level : cooler.rise;
  return other ? bound_mark(*other, noise) + fmt::format("{:.1f}", other->value) : "";
}

std::string fan_cell(const RankedCooler& cooler) {
  if (cooler.fan_share) return percent_cell(*cooler.fan_share) + " %";
  if (cooler.fan_speed) return fmt::format("{:.0f} rpm", to_unit(*cooler.fan_speed, "rpm"));
  return {};
}

std::string remark(const RankedCooler& cooler) {
  std::vector<std::string> words;
  if (cooler.predicted) words.push_back("predicted");
  if (cooler.value.bound) words.push_back("a bound");
  if (cooler.value.beyond) words.push_back("beyond");
  if (cooler.unsettled) words.push_back("not settled");
  return words.empty() ? "" : text::list(words);
}

bool any_of(const Rows& rows, bool (*has)(const RankedCooler&)) {
  return std::any_of(rows.begin(), rows.end(), has);
}

std::string table_of(const Ranking& ranking) {
  const Rows& rows = ranking.rows;
  const bool noise = by_noise(ranking);
  const double width = rounding_width(rows);
  const bool others =
      any_of(rows, [](const RankedCooler& c) { return c.level.has_value(); }) || noise;
  const bool remarks = any_of(rows, [](const RankedCooler& c) { return !remark(c).empty(); });
  TextTable table;
  table.column("#");
  table.column("group");
  table.column("like");
  table.column("cooler", {}, TextTable::Align::left);
  table.column(noise ? "noise" : "rise", unit_of(ranking));
  table.column("5-95 %", unit_of(ranking));
  if (others) table.column(noise ? "rise" : "noise", noise ? "K" : "dBA");
  table.column("fans");
  table.column("points\n(mounts)");
  if (remarks) table.column("", {}, TextTable::Align::left);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const RankedCooler& cooler = rows[i];
    std::vector<std::string> cells = {
        std::to_string(i + 1),
        std::to_string(cooler.group),
        like_words(ranking, i),
        shown_title(cooler),
        bound_mark(cooler.value, noise) + rounded(cooler.value.value, width),
        cooler.value.bound ? "" : range_words(own_interval(cooler.value), width)};
    if (others) cells.push_back(other_cell(cooler, !noise));
    cells.push_back(fan_cell(cooler));
    cells.push_back(cooler.predicted ? std::to_string(cooler.points)
                                     : fmt::format("{} ({})", cooler.points, cooler.mounts));
    if (remarks) cells.push_back(remark(cooler));
    table.row(std::move(cells));
  }
  return table.text();
}

std::string prices(const Ranking& ranking) {
  TextTable table;
  table.column("cooler", {}, TextTable::Align::left);
  table.column("price");
  table.column("K better than the cheapest\nper unit of price above it");
  bool any = false;
  for (const RankedCooler& cooler : ranking.rows) {
    if (cooler.price.empty()) continue;
    any = true;
    table.row({shown_title(cooler), plain(cooler.price),
               cooler.kelvin_per_price ? text::number(*cooler.kelvin_per_price, 2) : ""});
  }
  return any ? "\nPrices\n" + table.text() : "";
}

std::string tables(const ToldRanking& told) {
  const Ranking& ranking = told.ranking;
  std::string out;
  if (!ranking.rows.empty()) {
    out += "\nAt " + condition_words(ranking.condition) +
           " (like: ranks it is not told apart from)\n" + table_of(ranking);
    double bench = 0.0;
    for (const RankedCooler& cooler : ranking.rows) bench = std::max(bench, cooler.value.u_bench);
    if (bench > 0.0) {
      out += paragraph("  ", fmt::format("The bench itself may be off by {} {} (standard "
                                         "uncertainty), for all alike: differences do not have it.",
                                         text::number(bench, 2), by_noise(ranking) ? "dB" : "K"));
    }
  }
  if (told.equal_noise && !told.equal_noise->rows.empty()) {
    out += "\nAt equal noise: " + condition_words(told.equal_noise->condition) +
           ", the level that the most coolers were measured around\n" + table_of(*told.equal_noise);
  }
  return out;
}

// ---- what stands below it

// Neighbours that more mountings would tell apart, best ones first; of the others how many.
std::string ties(const Ranking& ranking) {
  constexpr int most = 8;
  const char* unit = by_noise(ranking) ? "dB" : "K";
  TextTable table;
  table.column("better", {}, TextTable::Align::left);
  table.column("worse", {}, TextTable::Align::left);
  table.column("apart", unit);
  table.column("u", unit);
  table.column("mountings of each\nthat would tell");
  int shown = 0, more = 0, never = 0;
  for (const Tie& tie : ranking.ties) {
    if (tie.apart) continue;
    if (!tie.mounts_needed) {
      ++never;
    } else if (shown == most) {
      ++more;
    } else {
      ++shown;
      table.row({plain(tie.better), plain(tie.worse), rounded(tie.difference, 2.0 * tie.u),
                 text::number(tie.u, 2), std::to_string(*tie.mounts_needed)});
    }
  }
  if (shown + never == 0) return {};
  std::string out = "\nTies between neighbours, if their differences stay what they are\n";
  if (shown > 0) out += table.text();
  if (never > 0) {
    out += paragraph("  ", counted(never, "pair", "pairs") +
                               " would not be told apart by up to 99 mountings of each.");
  }
  if (more > 0) out += paragraph("  ", fmt::format("{} more in --json.", more));
  return out;
}

std::string states(const Ranking& ranking) {
  if (ranking.states.empty()) return {};
  TextTable table;
  table.column("date", {}, TextTable::Align::left);
  table.column("rise over\nthe first");
  table.column("u");
  table.column("points");
  for (const BenchState& state : ranking.states) {
    table.row({plain(state.date), fmt::format("{:.4f}", state.factor),
               fmt::format("{:.4f}", state.u), std::to_string(state.points)});
  }
  return "\nStates of the bench, by the reference cooler\n" + table.text();
}

// An assumed one stands among the notes of the ranking.
std::string scatter(const Ranking& ranking) {
  if (!(ranking.mount_scatter > 0.0 && ranking.mount_freedom > 0.0)) return {};
  const std::string percent = text::number(100.0 * ranking.mount_scatter, 2);
  return paragraph("  - ", fmt::format("one mounting to the next: {} % of the rise, from the "
                                       "repeated mountings ({} degrees of freedom).",
                                       percent, text::number(ranking.mount_freedom, 3)));
}

std::string notes(const ToldRanking& told) {
  const Ranking& ranking = told.ranking;
  std::string out;
  for (const LeftOut& left : ranking.left_out) out += paragraph("  - ", sentence(left.reason));
  for (const RankedCooler& cooler : ranking.rows) {
    for (const std::string& note : cooler.notes) {
      out += paragraph("  - ", plain(cooler.title) + ": " + sentence(note));
    }
  }
  out += scatter(ranking);
  for (const std::string& note : ranking.notes) out += paragraph("  - ", sentence(note));
  return out.empty() ? out : "\nNotes\n" + out;
}

// Bounds come from chips that lowered their power.
std::string cautions(const Ranking& ranking) {
  std::vector<std::string> titles;
  for (const RankedCooler& cooler : ranking.rows) {
    if (cooler.value.bound && !by_noise(ranking)) titles.push_back(plain(cooler.title));
  }
  if (titles.empty()) return {};
  return '\n' + paragraph("CAUTION  ", fmt::format("{}: the chip was at its limit; the rise is a "
                                                   "lower bound. Do not run such a point "
                                                   "unattended; the makers' limits count.",
                                                   some_of(titles)));
}

}  // namespace

std::string text(const ToldRanking& told) {
  const Ranking& ranking = told.ranking;
  return paragraph("", headline(ranking)) + under_test_words(told) + cautions(ranking) +
         tables(told) + prices(ranking) + ties(ranking) + states(ranking) + notes(told) +
         (told.tables.empty() ? "" : how_read(files_of(told)));
}

}  // namespace libloop::report
