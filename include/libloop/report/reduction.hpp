// Points reduced from logs, for people (text), for scripts (JSON) and for spreadsheets (CSV). The
// keys of the JSON and the columns of the CSV are described in docs/files.md.
//
//   const std::vector<libloop::report::ReducedLog> logs = {{log, libloop::reduce(log, meters)}};
//   std::fputs(libloop::report::text(logs).c_str(), stdout);
//
// The text opens with the answer in one sentence. The CSV is a measured table: read_measured reads
// it back. Text is rounded as far as the doubt allows, JSON and CSV to 12 digits.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "libloop/evidence/log.hpp"
#include "libloop/evidence/reduction.hpp"

namespace libloop::report {

struct ReducedLog {
  Log log;
  Reduction reduction;
};

// What the log does not know of itself and a measured table needs.
struct TableWords {
  std::string cooler;  // title; empty: the name of the log's file
  int mount = 1;
};

// The three throw InputError (code call) without a log.
std::string text(std::span<const ReducedLog> logs);
std::string json(std::span<const ReducedLog> logs);
std::string csv(std::span<const ReducedLog> logs, const TableWords& words = {});

}  // namespace libloop::report
