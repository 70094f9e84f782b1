#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/error.hpp"
#include "libloop/evidence/rank_price.hpp"
#include "libloop/evidence/rank_value.hpp"
#include "libloop/evidence/ranking.hpp"

namespace libloop {
namespace {

using namespace evidence;

void check(const Condition& condition, const RankOptions& options) {
  const auto bad = [](const char* what, const char* want) {
    refuse(Code::bounds, std::string("the ") + what, want);
  };
  if (!(condition.load > 0.0) || !std::isfinite(condition.load)) {
    bad("load of a comparison must be above 0 W", "for example 180 W");
  }
  int held = 0;
  for (const auto& one :
       {condition.fan_share, condition.fan_speed, condition.level, condition.rise}) {
    if (!one) continue;
    ++held;
    if (!std::isfinite(*one)) bad("condition of a comparison must be a finite number", "");
  }
  if (held > 1) {
    refuse(Code::conflict, "more than one of fan share, fan speed, noise and rise is held equal",
           "one of them; the load is held equal in any case");
  }
  for (const auto& one : {condition.fan_share, condition.fan_speed, condition.rise}) {
    if (one && *one <= 0.0) bad("fan speed or rise held equal must be above 0", "");
  }
  if (!(options.apart > 0.0) || !std::isfinite(options.apart)) {
    bad("number of standard uncertainties between groups must be above 0", "for example 3");
  }
}

Target target_of(const Condition& condition) {
  using Kind = Target::Kind;
  if (condition.level) return {Kind::level, *condition.level, condition.load};
  if (condition.rise) return {Kind::rise, *condition.rise, condition.load};
  if (condition.fan_share) return {Kind::speed, *condition.fan_share, condition.load};
  if (condition.fan_speed) return {Kind::speed, *condition.fan_speed, condition.load};
  return {Kind::fastest, 0.0, condition.load};
}

SpeedKind wanted(const Condition& condition) {
  if (condition.fan_share) return SpeedKind::share;
  return condition.fan_speed ? SpeedKind::absolute : SpeedKind::none;
}

struct Entry {
  RankedCooler row;
  Standing standing;
  bool ahead = false;  // never so hot as all others are here
};

Entry entry_of(const MeasuredCooler& cooler, const CoolerCurves& curves, const Placed& placed,
               bool by_level) {
  Entry entry;
  RankedCooler& row = entry.row;
  row.title = cooler.title;
  row.rise = placed.rise;
  row.level = placed.level;
  row.value = by_level ? *placed.level : *placed.rise;
  if (cooler.kind == SpeedKind::share) {
    row.fan_share = placed.speed;
    if (cooler.rated > 0) row.fan_speed = placed.speed * cooler.rated;
  } else if (cooler.kind == SpeedKind::absolute) {
    row.fan_speed = placed.speed;
    if (cooler.rated > 0) row.fan_share = placed.speed / cooler.rated;
  }
  row.points = static_cast<int>(cooler.points.size());
  row.mounts = static_cast<int>(cooler.mounts);
  row.predicted = cooler.predicted;
  row.unsettled = cooler.unsettled;
  row.notes = cooler.notes;
  row.notes.insert(row.notes.end(), placed.notes.begin(), placed.notes.end());
  entry.ahead = placed.ahead;
  entry.standing = {.value = row.value.value,
                    .at_least = row.value.bound && !by_level,
                    .at_most = row.value.bound && by_level,
                    .predicted = cooler.predicted,
                    .mounts = static_cast<int>(curves.mounts()),
                    .doubts = by_level ? placed.of_level : placed.of_rise};
  return entry;
}

// Best first; whoever could not be held at the condition comes last, who never gets so hot first.
bool before(const Entry& a, const Entry& b) {
  if (a.ahead != b.ahead) return a.ahead;
  const bool one_bound = a.ahead && a.standing.value == b.standing.value;
  if (one_bound && a.row.rise->value != b.row.rise->value) {
    return a.row.rise->value < b.row.rise->value;  // it has more left
  }
  if (a.standing.at_least != b.standing.at_least) return b.standing.at_least;
  if (a.standing.value != b.standing.value) return a.standing.value < b.standing.value;
  return a.row.title < b.row.title;
}

void name_rows(const std::vector<MeasuredCooler>& coolers, std::vector<RankedCooler>& rows) {
  std::vector<std::string> titles;
  for (const MeasuredCooler& cooler : coolers) titles.push_back(cooler.title);
  const std::vector<std::string> names = short_names(titles);
  for (RankedCooler& row : rows) {
    const auto place = std::find(titles.begin(), titles.end(), row.title);
    row.short_name = names[static_cast<std::size_t>(place - titles.begin())];
  }
}

void sort_out(std::vector<Entry> entries, double apart, Ranking& ranking) {
  std::sort(entries.begin(), entries.end(), before);
  std::vector<Standing> ranked;
  for (const Entry& entry : entries) ranked.push_back(entry.standing);
  const std::vector<int> group = groups(ranked, apart);
  for (std::size_t i = 0; i < entries.size(); ++i) {
    entries[i].row.group = group[i];
    entries[i].row.like = like(ranked, i, apart);
    ranking.rows.push_back(std::move(entries[i].row));
    if (i == 0) continue;
    Tie tie;
    tie.better = ranking.rows[i - 1].title;
    tie.worse = ranking.rows[i].title;
    tie.difference = ranked[i].value - ranked[i - 1].value;
    tie.u = difference_doubt(ranked[i - 1], ranked[i]);
    tie.apart = told_apart(ranked[i - 1], ranked[i], apart);
    if (!tie.apart) tie.mounts_needed = mounts_needed(ranked[i - 1], ranked[i], apart);
    ranking.ties.push_back(std::move(tie));
  }
  ranking.alike = alike(ranked, apart);
}

}  // namespace

double Valued::u() const { return std::hypot(u_own, u_bench); }

Ranking rank(const MeasuredTable& table, const Instruments<double>& instruments,
             const Condition& condition, const RankOptions& options) {
  check(condition, options);
  const Campaign campaign = evidence::campaign(table, instruments, wanted(condition), options);
  Ranking ranking;
  ranking.condition = condition;
  ranking.mount_scatter = campaign.mount_scatter;
  ranking.mount_freedom = campaign.mount_freedom;
  if (!options.reference.empty()) {
    for (const BenchState& state : campaign.states) {
      if (!state.date.empty()) ranking.states.push_back(state);
    }
  }
  ranking.notes = campaign.notes;
  const Target target = target_of(condition);
  std::vector<Entry> entries;
  for (const MeasuredCooler& cooler : campaign.coolers) {
    std::string missing = cooler.missing;
    if (missing.empty()) {
      const CoolerCurves curves(cooler, campaign, instruments);
      const Placed placed = curves.place(target);
      missing = placed.missing;
      if (missing.empty()) {
        entries.push_back(entry_of(cooler, curves, placed, condition.rise.has_value()));
      }
    }
    if (!missing.empty()) ranking.left_out.push_back({1, cooler.title + ": " + missing});
  }
  sort_out(std::move(entries), options.apart, ranking);
  name_rows(campaign.coolers, ranking.rows);
  add_prices(table.prices, ranking);
  return ranking;
}

}  // namespace libloop
