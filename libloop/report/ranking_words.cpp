#include "libloop/report/ranking_words.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "libloop/base/text.hpp"
#include "libloop/quantity/unit.hpp"
#include "libloop/report/chart_text.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {

Interval own_interval(const Valued& value) {
  constexpr double normal_90 = 1.6448536269514722;  // quantile of the normal at 95 %
  const double reach = normal_90 * value.u_own;
  return {value.value - reach, value.value, value.value + reach, value.value};
}

bool by_noise(const Ranking& ranking) { return ranking.condition.rise.has_value(); }

const char* unit_of(const Ranking& ranking) { return by_noise(ranking) ? "dBA" : "K"; }

std::string condition_words(const Condition& condition) {
  const std::string load = text::number(condition.load) + " W and ";
  if (condition.level) return load + text::number(*condition.level) + " dBA";
  if (condition.rise) return load + text::number(*condition.rise) + " K over ambient";
  if (condition.fan_share) return load + "fans at " + percent_cell(*condition.fan_share) + " %";
  if (condition.fan_speed) {
    return load + fmt::format("fans at {:.0f} rpm", to_unit(*condition.fan_speed, "rpm"));
  }
  return load + "the fastest fans measured";
}

std::string shown_title(const RankedCooler& cooler) {
  constexpr std::size_t most = 30;
  const std::string title = plain(cooler.title);
  return text::width(title) <= most || cooler.short_name.empty() ? title : plain(cooler.short_name);
}

std::string value_words(const Ranking& ranking, const Valued& value, const char* range_note) {
  const Interval interval = own_interval(value);
  const char* unit = unit_of(ranking);
  if (value.bound) {
    return fmt::format("{} {} {}", by_noise(ranking) ? "at most" : "at least", median(interval),
                       unit);
  }
  return fmt::format("{} {} ({} {}{})", median(interval), unit, range_words(interval), unit,
                     range_note);
}

std::vector<std::size_t> like_ranks(const Ranking& ranking, std::size_t row) {
  std::vector<std::size_t> ranks = {row + 1};
  for (const std::size_t other : ranking.rows[row].like) ranks.push_back(other + 1);
  std::sort(ranks.begin(), ranks.end());
  return ranks;
}

std::string like_words(const Ranking& ranking, std::size_t row) {
  constexpr int most = 2;  // pieces
  const std::vector<std::size_t> ranks = like_ranks(ranking, row);
  if (ranks.size() == 1) return {};
  std::string words;
  int pieces = 0;
  for (std::size_t i = 0; i < ranks.size();) {
    std::size_t last = i;
    while (last + 1 < ranks.size() && ranks[last + 1] == ranks[last] + 1) ++last;
    if (++pieces > most) return words + "+";
    if (!words.empty()) words += ',';
    words += last == i ? std::to_string(ranks[i]) : fmt::format("{}-{}", ranks[i], ranks[last]);
    i = last + 1;
  }
  return words;
}

std::vector<std::string> tied_with_best(const Ranking& ranking) {
  std::vector<std::string> titles;
  for (const std::size_t other : ranking.rows.front().like) {
    titles.push_back(plain(ranking.rows[other].title));
  }
  return titles;
}

std::vector<HowRead> files_of(const ToldRanking& told) {
  std::vector<HowRead> files;
  for (const ToldTable& table : told.tables) {
    files.push_back({table.file, table.rows, &table.decisions, &table.left_out});
  }
  return files;
}

}  // namespace libloop::report
