#include "libloop/report/ranking_words.hpp"

#include <fmt/format.h>

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

Alike like_rows(const Ranking& ranking, std::size_t row) {
  Alike like{row, row};
  for (const Alike& run : ranking.alike) {
    if (row < run.first || row > run.last) continue;
    like.first = std::min(like.first, run.first);
    like.last = std::max(like.last, run.last);
  }
  return like;
}

std::string like_words(const Ranking& ranking, std::size_t row) {
  const Alike like = like_rows(ranking, row);
  return like.first == like.last ? "" : fmt::format("{}-{}", like.first + 1, like.last + 1);
}

std::vector<std::string> tied_with_best(const Ranking& ranking) {
  std::vector<std::string> titles;
  for (std::size_t i = 1; i < ranking.rows.size(); ++i) {
    if (ranking.rows[i].group == ranking.rows.front().group) {
      titles.push_back(plain(ranking.rows[i].title));
    }
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
