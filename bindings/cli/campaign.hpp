// The coolers that a comparison is about: of measured tables and of cooler files.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "libloop/evidence/measured.hpp"
#include "libloop/files/tolerant.hpp"
#include "libloop/model/cooler.hpp"
#include "libloop/report/ranking.hpp"

namespace libloop::cli {

struct Campaign {
  MeasuredTable all;                      // points of every file
  std::vector<report::ToldTable> tables;  // how each was read
  bool predicts = false;                  // some are cooler files
};

// Files that end in .toml are coolers, predicted on `bench` at the loads of the tables (or at
// `load`, W) and at four fan speeds; all others are tables.
Campaign campaign_of(const std::vector<std::string>& files, const ReadingChoice& choice,
                     const Bench& bench, std::optional<double> load);

// Every title, each once, in the order of the files.
std::vector<std::string> titles_of(const MeasuredTable& table);

}  // namespace libloop::cli
