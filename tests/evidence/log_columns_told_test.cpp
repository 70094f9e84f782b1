#include "libloop/evidence/log_columns_told.hpp"

#include <doctest/doctest.h>

#include <string>

#include "libloop/base/error.hpp"
#include "libloop/evidence/reduction.hpp"
#include "libloop/files/read_log.hpp"

namespace libloop {
namespace {

std::string refused(const std::string& text) {
  try {
    reduce(parse_log(text, "invented.csv"), {});
  } catch (const InputError& error) {
    std::string all;
    for (const Problem& problem : error.problems()) all += problem.describe();
    return all;
  }
  FAIL("nothing was refused");
  return {};
}

TEST_CASE("who misses a column hears of those that are there") {
  std::string log = "time [s],Sensor 3 [C],power [W],CPU temp [C]\n";
  for (int i = 0; i < 100; ++i) log += std::to_string(i) + ",21,100,60\n";
  const std::string ambient = refused(log);
  CHECK(ambient.find("'CPU temp [C]' is chip") != std::string::npos);
  CHECK(ambient.find("Columns not used: 'Sensor 3 [C]'") != std::string::npos);
  std::string cold = "time [s],Sensor 3 [C],room [C]\n";
  for (int i = 0; i < 100; ++i) cold += std::to_string(i) + ",60,21\n";
  const std::string chip = refused(cold);
  CHECK(chip.find("'room [C]' is ambient") != std::string::npos);
  CHECK(chip.find("'Sensor 3 [C]'") != std::string::npos);
  CHECK(evidence::columns_told(Log{}).empty());
}

}  // namespace
}  // namespace libloop
