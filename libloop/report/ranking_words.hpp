// Words and numbers that the reports of a ranking share.
#pragma once

#include <string>
#include <vector>

#include "libloop/model/predict.hpp"
#include "libloop/report/how_read.hpp"
#include "libloop/report/ranking.hpp"

namespace libloop::report {

// 5, 50 and 95 % of a value by its own doubt.
Interval own_interval(const Valued& value);

// Whether the noise ranks, at equal rise; else the rise does.
bool by_noise(const Ranking& ranking);
// What it is ranked by: "K" or "dBA".
const char* unit_of(const Ranking& ranking);

// "180 W and fans at 60 %", "180 W and 30 dBA", "180 W and the fastest fans measured"
std::string condition_words(const Condition& condition);

// The title, or where it is long the short name.
std::string shown_title(const RankedCooler& cooler);

// "31.2 K (30.6 to 31.9 K, 5-95 %)", or of a bound "at least 31.2 K", "at most 24 dBA".
std::string value_words(const Ranking& ranking, const Valued& value, const char* range_note = "");

// Titles that are not told apart from the best.
std::vector<std::string> tied_with_best(const Ranking& ranking);

// Ranks (from 1) of the rows that a row is not told apart from, itself included, in order.
std::vector<std::size_t> like_ranks(const Ranking& ranking, std::size_t row);
// "2-6", "2-6,9"; of many pieces the first two and "+". Empty where it stands alone.
std::string like_words(const Ranking& ranking, std::size_t row);

std::vector<HowRead> files_of(const ToldRanking& told);

}  // namespace libloop::report
