// Whatever bytes a log holds, reading it ends in a log that keeps its promises or in an
// InputError; in pieces as at once; and as a table likewise.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "libloop/files/log_reader.hpp"
#include "libloop/files/read_log.hpp"
#include "libloop/files/tolerant_rows.hpp"

namespace {

using libloop::Log;

void require(bool holds) {
  if (!holds) std::abort();
}

void check_counts(const Log& log) {
  long long rows = static_cast<long long>(log.time.size());
  for (const libloop::LeftOut& one : log.left_out) {
    require(one.count > 0);
    if (one.reason.compare(0, 4, "rows") == 0) rows += one.count;
  }
  if (log.merged == 1) require(rows == log.rows_read);
}

void check(const Log& log, std::size_t most_rows) {
  require(log.time.size() <= most_rows);
  for (std::size_t i = 0; i < log.time.size(); ++i) {
    require(std::isfinite(log.time[i]) && log.time[i] >= 0.0);
    require(i == 0 || log.time[i] > log.time[i - 1]);
  }
  require(!log.began || std::isfinite(*log.began));
  for (const libloop::Series& series : log.series) {
    const libloop::DeclaredChannel& channel = libloop::declared(series.channel);
    require(series.values.size() == log.time.size());
    require(std::isfinite(series.step) && series.step >= 0.0);
    for (const double value : series.values) {
      require(!libloop::is_reading(value) ||
              (value >= channel.min - 1e-6 && value <= channel.max + 1e-6));
    }
  }
  check_counts(log);
}

template <class Read>
bool reads(const Read& read) {
  try {
    read();
    return true;
  } catch (const libloop::InputError& error) {
    // Messages must come out whole, too.
    for (const libloop::Problem& problem : error.problems()) problem.describe();
  } catch (const libloop::files::ReadAgain&) {
  }
  return false;
}

void in_pieces(std::string_view text, const libloop::LogChoice& choice, std::size_t size) {
  libloop::files::LogReader reader("fuzz", choice);
  for (std::size_t at = 0; at < text.size(); at += size) {
    reader.feed(text.substr(at, size));
    if (at == 0 || at == 64 * size) reader.pause();
  }
  reader.finish();
  check(reader.log(), choice.most_rows);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  libloop::LogChoice choice;
  choice.most_rows = size % 3 == 0 ? 4 : 1000;
  reads([&] { check(libloop::parse_log(text, "fuzz", choice), choice.most_rows); });
  reads([&] { in_pieces(text, choice, 1 + size % 7); });
  reads([&] {
    libloop::files::tolerant_table(
        text, "fuzz", {}, [](std::string_view name) { return name == "chip" || name == "load"; });
  });
  choice.units = {{libloop::Channel::fan_speed, "rpm"}};
  choice.columns = {{libloop::Channel::chip, "#2"}};
  choice.time_column = "#1";
  choice.reading.decimal = '.';
  choice.reading.dates = libloop::DateOrder::day_first;
  reads([&] { check(libloop::parse_log(text, "fuzz", choice), choice.most_rows); });
  return 0;
}
