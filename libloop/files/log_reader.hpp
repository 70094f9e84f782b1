// A log, read piece by piece.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "libloop/files/log_clock.hpp"
#include "libloop/files/log_rows.hpp"
#include "libloop/files/tolerant_encoding.hpp"
#include "libloop/files/tolerant_lines.hpp"

namespace libloop::files {

// Gathers the first lines, decides by them how the file is to be read, and reads the rest line by
// line. Throws InputError, and ReadAgain: then the file is to be read from its start by another
// reader with that order of dates.
class LogReader {
 public:
  LogReader(std::string file, LogChoice choice);
  ~LogReader();
  LogReader(const LogReader&) = delete;
  LogReader& operator=(const LogReader&) = delete;

  void feed(std::string_view bytes);
  // No bytes follow.
  void finish();
  // More bytes may follow, but what is there is wanted now: of whole lines. Once the first few
  // rows are there, throws as `finish` does.
  void pause();
  // Up to date after `pause` or `finish`.
  const Log& log() const { return log_; }
  Log release() { return std::move(log_); }

 private:
  void open(bool whole);
  void refresh();
  void take_text(bool last);
  void begin(bool patient);
  bool is_known(std::string_view name) const;
  void decide(const std::vector<TolerantRow>& rows);
  char find_decimal(const ColumnFinder& columns, const std::vector<TolerantRow>& rows,
                    std::vector<std::string>& decisions) const;
  void take(std::string_view line, int number, bool ended);
  void check_length(std::size_t size, int number) const;

  LogChoice choice_;
  Log log_;
  std::string head_;  // bytes, until the encoding is known
  std::optional<Decoder> decoder_;
  LineCutter lines_;
  std::vector<TextLine> first_;
  std::size_t first_bytes_ = 0, enough_ = 128 * 1024;  // by so many all is told, as a rule
  bool first_ended_ = true;                            // the last of them had an end
  std::vector<std::string> early_;                     // decisions on how bytes are read
  std::unique_ptr<Layout> layout_;
  std::optional<CellCutter> cutter_;
  std::unique_ptr<LogRows> rows_;
};

}  // namespace libloop::files
