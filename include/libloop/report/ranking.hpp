// Measured coolers against each other, for people (text), for scripts (JSON) and for spreadsheets
// (CSV). The keys of the JSON and the columns of the CSV are described in docs/files.md.
//
//   libloop::report::ToldRanking told{libloop::rank(table, meters, {.load = 180})};
//   std::fputs(libloop::report::text(told).c_str(), stdout);
//
// Intervals are 5 to 95 % of each cooler's own doubt, which is what tells coolers apart; what the
// bench may be off by stands beside them, for it moves all alike.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "libloop/evidence/ranking.hpp"

namespace libloop::report {

// How a table was read.
struct ToldTable {
  std::string file;
  long long rows = 0;
  std::vector<LeftOut> left_out;
  std::vector<std::string> decisions;
};

struct ToldRanking {
  Ranking ranking;
  // At equal noise, where the ranking itself is at something else and a level is common to some.
  std::optional<Ranking> equal_noise;
  std::string under_test;  // title; may be empty
  std::vector<ToldTable> tables;
};

std::string text(const ToldRanking& told);
std::string json(const ToldRanking& told);
std::string csv(const ToldRanking& told);

}  // namespace libloop::report
