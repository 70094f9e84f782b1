#include "libloop/files/read_log.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>

#include "files/ugly_logs.hpp"
#include "libloop/base/error.hpp"
#include "libloop/files/log_reader.hpp"
#include "libloop/quantity/unit.hpp"

namespace libloop::testing {

LogChoice with_unit(Channel channel, const std::string& unit) {
  LogChoice choice;
  choice.units[channel] = unit;
  return choice;
}

LogChoice with_column(Channel channel, const std::string& heading) {
  LogChoice choice;
  choice.columns[channel] = heading;
  return choice;
}

LogChoice with_dates(DateOrder order) {
  LogChoice choice;
  choice.reading.dates = order;
  return choice;
}

LogChoice with_decimal(char decimal) {
  LogChoice choice;
  choice.reading.decimal = decimal;
  return choice;
}

namespace {

bool starts(const std::string& text, const std::string& start) {
  return text.compare(0, start.size(), start) == 0;
}

void check_series(const Log& log, Channel channel, const Numbers& expected) {
  const Series* series = log.find(channel);
  CAPTURE(declared(channel).name);
  REQUIRE(series != nullptr);
  REQUIRE(series->values.size() == expected.size());
  for (std::size_t i = 0; i < expected.size(); ++i) {
    CAPTURE(i);
    CHECK(is_reading(series->values[i]) == (expected[i] != none));
    if (expected[i] == none || !is_reading(series->values[i])) continue;
    CHECK(to_unit(series->values[i], declared(channel).unit) ==
          doctest::Approx(expected[i]).epsilon(1e-9));
  }
}

// Every row is used, or left out for a reason.
void check_counts(const Log& log) {
  long long rows = static_cast<long long>(log.time.size());
  for (const LeftOut& one : log.left_out) {
    if (starts(one.reason, "rows")) rows += one.count;
  }
  CHECK(log.rows_read == rows);
}

void check_left_out(const Log& log, const std::vector<LeftOut>& expected) {
  CHECK(log.left_out.size() == expected.size());
  for (const LeftOut& wanted : expected) {
    CAPTURE(wanted.reason);
    const auto found =
        std::find_if(log.left_out.begin(), log.left_out.end(),
                     [&](const LeftOut& one) { return starts(one.reason, wanted.reason); });
    REQUIRE(found != log.left_out.end());
    CHECK(found->count == wanted.count);
  }
}

bool is_decided(const Log& log, const std::string& part) {
  return std::any_of(log.decisions.begin(), log.decisions.end(),
                     [&](const std::string& one) { return one.find(part) != std::string::npos; });
}

// The first lines hold all of these files, so that none is read again.
Log in_pieces(const Ugly& ugly, std::size_t size) {
  files::LogReader reader("t", ugly.choice);
  for (std::size_t at = 0; at < ugly.text.size(); at += size) {
    reader.feed(std::string_view(ugly.text).substr(at, size));
  }
  reader.finish();
  return reader.release();
}

}  // namespace

void check(const Ugly& ugly) {
  CAPTURE(ugly.name);
  Log log;
  REQUIRE_NOTHROW(log = parse_log(ugly.text, "t", ugly.choice));
  REQUIRE(log.time.size() == ugly.time.size());
  for (std::size_t i = 0; i < log.time.size(); ++i) {
    CHECK(log.time[i] == doctest::Approx(ugly.time[i]).epsilon(1e-6));
  }
  for (const auto& [channel, expected] : ugly.readings) check_series(log, channel, expected);
  check_counts(log);
  check_left_out(log, ugly.left_out);
  for (const std::string& part : ugly.decisions) {
    CAPTURE(part);
    CHECK(is_decided(log, part));
  }
  const Log pieces = in_pieces(ugly, 3);
  CHECK(pieces.time == log.time);
  CHECK(pieces.decisions == log.decisions);
  CHECK(pieces.series.size() == log.series.size());
}

namespace {

TEST_CASE("the first row's date, where it is sure") {
  const auto began = [](const std::string& text) { return parse_log(text, "t").began; };
  // 2024-03-01 00:00 is 1709251200 s after 1970-01-01 00:00 (date -u).
  CHECK(began("time,chip\n2024-03-01 00:00:10,40\n").value_or(0) == 1709251210.0);
  CHECK(began("timestamp,chip\n1709251210,40\n").value_or(0) == 1709251210.0);
  CHECK(began("date;chip\n45352,25;40\n").value_or(0) == 1709251200.0 + 21600.0);
  CHECK(began("time,chip\n03/03/2024 00:00:00,40\n").value_or(0) == 1709251200.0 + 2 * 86400.0);
  CHECK_FALSE(began("time,chip\n03/04/2024 00:00:00,40\n"));
  CHECK_FALSE(began("time,chip\n00:00:10,40\n"));
  CHECK_FALSE(began("time [s],chip\n10,40\n"));
}

}  // namespace
}  // namespace libloop::testing
