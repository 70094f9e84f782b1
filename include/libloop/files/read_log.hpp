// Reads logs as loggers and spreadsheets write them (docs/files.md, "Logs").
//
//   const libloop::Log log = libloop::read_log("monday.csv");
//
// Separators, decimal marks, encodings, units, headings, time stamps are found out; every decision
// is told in log.decisions. Where two readings are possible InputError asks for the option that
// settles it (code conflict).
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <string>
#include <string_view>

#include "libloop/evidence/log.hpp"
#include "libloop/files/tolerant.hpp"

namespace libloop {

struct LogChoice {
  ReadingChoice reading;
  // Channel -> heading of the column, as the file writes it, or its number from 1 ("#3").
  std::map<Channel, std::string> columns;
  std::string time_column;  // likewise; empty: found out
  // Channel -> unit of its column, where the file does not say ("F", "rpm", "%").
  std::map<Channel, std::string> units;
  std::size_t most_rows = 200000;  // kept; beyond, neighbouring rows are merged into means
};

// Called now and then with the share read so far, 0 to 1.
using Progress = std::function<void(double)>;

Log read_log(const std::string& path, const LogChoice& choice = {}, const Progress& progress = {});
Log parse_log(std::string_view bytes, const std::string& file, const LogChoice& choice = {});

// A log that grows while it is read: `update` takes in what was added to the file since, up to
// its last whole line, and tells whether rows came. A file that shrank is read anew.
class GrowingLog {
 public:
  explicit GrowingLog(std::string path, LogChoice choice = {});
  GrowingLog(GrowingLog&&) noexcept;
  ~GrowingLog();
  bool update();
  const Log& log() const;  // empty until a heading and a row were there

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace libloop
