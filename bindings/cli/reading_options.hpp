// How files of loggers and spreadsheets are to be read: the options that settle what a file leaves
// open.
#pragma once

#include <string>
#include <vector>

#include "bindings/cli/call.hpp"
#include "libloop/files/read_log.hpp"

namespace libloop::cli {

struct ReadingOptions {
  std::string decimal, separator, encoding, dates;
  std::vector<std::string> columns, units;  // of logs: CHANNEL=HEADING, CHANNEL=UNIT
};

// For tables; with `log` also what only logs have.
void add_reading_options(CLI::App& verb, ReadingOptions& options, bool log);

// Throw WrongCall.
ReadingChoice reading_choice(const ReadingOptions& options);
LogChoice log_choice(const ReadingOptions& options);

// Reads a log; whoever waits on a terminal is told how far it has come.
Log read_watched(const std::string& path, const LogChoice& choice);

}  // namespace libloop::cli
