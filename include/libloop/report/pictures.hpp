// Pictures for publishing, as charts: a ranking, rise against noise, a log.
//
//   const auto chart = libloop::report::ranking_chart(ranking, {.under_test = "Invented slim
//   240"}); libloop::report::draw(chart, "ranking.svg");
//
// The cooler under test is strong, pinned ones plain, the rest muted; with neither, all are
// plain. A cooler has its colour and shape by its title, in every picture of one table.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "libloop/evidence/forecast.hpp"
#include "libloop/evidence/log.hpp"
#include "libloop/evidence/ranking.hpp"
#include "libloop/evidence/reduction.hpp"
#include "libloop/report/chart.hpp"
#include "libloop/report/language.hpp"

namespace libloop::report {

struct PictureOptions {
  Language language = Language::english;
  char decimal_mark = 0;            // '.' or ','; 0: of the language
  std::string under_test;           // its title
  std::vector<std::string> pinned;  // titles
  int best = 12;                    // so many of the rest, at most; 0 only beside others
  std::string title;                // instead of ours
  std::string note;                 // one more footnote: "Invented data."
  // Every title of the table, for colours that stay when a cooler is left out of one picture;
  // empty: those of the picture. Those without a value in it are named or counted below.
  std::vector<std::string> titles;
  std::optional<double> ambient;  // K absolute, of a log that has no such column
};

// All throw InputError: code missing when there is nothing to draw, unknown for a title that is
// not there, call for a decimal mark or a number of coolers that cannot be.

// One row a cooler: a dot for the value, a bar from 5 to 95 % of what is its own doubt
// (+-1.645 u_own), a bracket where rows are not told apart. Bounds are arrows.
Chart ranking_chart(const Ranking& ranking, const PictureOptions& options = {});

// Rise against noise at `load` (W). The best of the rest are those with the lowest rise at the
// noise in the middle of all curves. Dots of predicted coolers are hollow. Who has no curve, or
// found no room, is named or counted below.
Chart noise_chart(const std::vector<NoiseCurve>& curves, double load,
                  const PictureOptions& options = {});

// A log with what was set, its steady windows and their means with 95 %, and where it is going; the
// last two where given. Windows that have not settled are not shaded, and their means dashed. Of
// rise over ambient, or of the chip where no ambient is known (a forecast has no place then). A
// long log is drawn by the lowest and highest reading of each pixel.
Chart log_chart(const Log& log, const Reduction* reduction = nullptr,
                const Forecast* forecast = nullptr, const PictureOptions& options = {});

}  // namespace libloop::report
