// A file that is read while a logger writes it; and one too long to be kept.
#include <doctest/doctest.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <string>

#include "libloop/base/error.hpp"
#include "libloop/files/log_reader.hpp"
#include "libloop/files/read_log.hpp"

namespace libloop {
namespace {

// A file of its own, gone with the test.
class Written {
 public:
  Written()
      : path_((std::filesystem::temp_directory_path() /
               ("libloop_growing_" + std::to_string(++made) + "_" +
                std::to_string(reinterpret_cast<std::uintptr_t>(this)) + ".csv"))
                  .string()) {
    write("");
  }
  ~Written() { std::remove(path_.c_str()); }
  Written(const Written&) = delete;
  Written& operator=(const Written&) = delete;

  void write(const std::string& text) const { std::ofstream(path_, std::ios::binary) << text; }
  void append(const std::string& text) const {
    std::ofstream(path_, std::ios::binary | std::ios::app) << text;
  }
  const std::string& path() const { return path_; }

 private:
  inline static int made = 0;
  std::string path_;
};

std::string rows(int from, int to) {
  std::string text;
  for (int i = from; i < to; ++i) text += std::to_string(i) + ",40.5,100\n";
  return text;
}

const std::string heading = "time [s],chip [C],load [W]\n";

TEST_CASE("a growing log takes in whole lines only") {
  const Written file;
  GrowingLog growing(file.path());
  CHECK(growing.log().empty());
  CHECK_FALSE(growing.update());
  file.append("time [s],ch");
  CHECK_FALSE(growing.update());
  file.append("ip [C],load [W]\n");
  CHECK_FALSE(growing.update());
  CHECK(growing.log().empty());
  file.append("0,40.5,100\n1,4");
  CHECK(growing.update());
  CHECK(growing.log().time.size() == 1);
  CHECK_FALSE(growing.update());
  file.append("1.5,100\n");
  CHECK(growing.update());
  REQUIRE(growing.log().time.size() == 2);
  CHECK(growing.log().series[0].values[1] == doctest::Approx(273.15 + 41.5));
  CHECK(growing.log().rows_read == 2);
}

TEST_CASE("a growing log beyond what is read anew each time equals the log read at once") {
  const Written file;
  file.write(heading);
  GrowingLog growing(file.path());
  for (int i = 0; i < 40; ++i) {
    file.append(rows(i * 1000, (i + 1) * 1000) + std::to_string((i + 1) * 1000));
    CHECK(growing.update());
    file.append(".25,40.5,100\n");
  }
  CHECK(growing.update());
  const Log whole = read_log(file.path());
  CHECK(growing.log().time == whole.time);
  CHECK(growing.log().rows_read == whole.rows_read);
  CHECK(growing.log().decisions == whole.decisions);
  CHECK(growing.log().left_out.size() == whole.left_out.size());
}

TEST_CASE("a file that shrank, and one put in its place, are read anew") {
  const Written file;
  file.write(heading + rows(0, 30000));
  GrowingLog growing(file.path());
  CHECK(growing.update());
  file.write(heading + rows(0, 10));
  CHECK(growing.update());
  CHECK(growing.log().time.size() == 10);
  file.write("time [s],chip [C]\n" + std::string("5,50\n6,51\n7,52\n"));
  CHECK(growing.update());
  CHECK(growing.log().time.size() == 3);
  CHECK(growing.log().series.size() == 1);
  std::filesystem::remove(file.path());
  CHECK_THROWS_AS(growing.update(), InputError);
}

TEST_CASE("what is not clear is asked for once some rows are there") {
  const Written file;
  file.write("time [s],chip,fan\n0,40,0\n");
  GrowingLog growing(file.path());
  CHECK_NOTHROW(growing.update());
  CHECK(growing.log().empty());
  file.append("1,40,1200\n");
  CHECK(growing.update());
  CHECK(growing.log().time.size() == 2);
  const Written still;
  still.write("time [s],chip,fan\n0,40,0\n1,40,0\n2,40,0\n3,40,0\n4,40,0\n");
  GrowingLog other(still.path());
  CHECK_THROWS_AS(other.update(), InputError);
}

TEST_CASE("a long log is kept as means, in bounded memory, and no row is lost") {
  LogChoice choice;
  choice.most_rows = 5000;
  files::LogReader reader("t", choice);
  reader.feed("time [s],chip [C],load [W]\n");
  std::string text;
  long long row = 0;
  double sum = 0.0;
  std::size_t bytes = 0;
  while (bytes < 20u * 1024 * 1024) {
    text.clear();
    for (int i = 0; i < 2000; ++i, ++row) {
      const int tenth = static_cast<int>(row * 7 % 100);
      text += std::to_string(row) + "," + std::to_string(400 + tenth) + "e-1,100.0000000000000\n";
      sum += 40.0 + 0.1 * tenth;
    }
    reader.feed(text);
    bytes += text.size();
  }
  reader.finish();
  const Log log = reader.release();
  CHECK(log.rows_read == row);
  CHECK(log.time.size() <= choice.most_rows);
  CHECK(log.time.size() > choice.most_rows / 2 - 1);
  CHECK(log.merged > 1);
  double mean = 0.0;
  for (std::size_t i = 0; i < log.time.size(); ++i) {
    if (i > 0) REQUIRE(log.time[i] > log.time[i - 1]);
    if (i + 1 < log.time.size()) mean += log.series[0].values[i] - 273.15;
  }
  mean /= static_cast<double>(log.time.size() - 1);
  CHECK(mean == doctest::Approx(sum / static_cast<double>(row)).epsilon(1e-4));
}

TEST_CASE("means of neighbours, for any number of rows and any room") {
  for (const std::size_t most : {2u, 3u, 5u, 8u}) {
    for (int rows_there = 1; rows_there < 60; ++rows_there) {
      Log log;
      log.series.resize(1);
      files::LogStore store(log, most);
      for (int i = 0; i < rows_there; ++i) store.add(i, {10.0 * i});
      store.finish();
      CAPTURE(most);
      CAPTURE(rows_there);
      REQUIRE_FALSE(log.time.empty());
      CHECK(log.time.size() <= most);
      // All rows, by their weight: the last group may have fewer.
      const double full = log.merged;
      const double rest = rows_there - full * static_cast<double>(log.time.size() - 1);
      CHECK(rest > 0.0);
      CHECK(rest <= full);
      double sum = rest * log.time.back();
      for (std::size_t i = 0; i + 1 < log.time.size(); ++i) sum += full * log.time[i];
      CHECK(sum == doctest::Approx(0.5 * rows_there * (rows_there - 1)));
      for (std::size_t i = 0; i < log.time.size(); ++i) {
        CHECK(log.series[0].values[i] == doctest::Approx(10.0 * log.time[i]));
      }
    }
  }
}

TEST_CASE("progress rises to one") {
  const Written file;
  file.write(heading + rows(0, 100000));
  double last = 0.0;
  int calls = 0;
  read_log(file.path(), {}, [&](double share) {
    CHECK(share >= last);
    last = share;
    ++calls;
  });
  CHECK(last == 1.0);
  CHECK(calls > 2);
}

}  // namespace
}  // namespace libloop
