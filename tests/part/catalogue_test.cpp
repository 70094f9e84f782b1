// What every declaration must keep.
#include "libloop/part/catalogue.hpp"

#include <doctest/doctest.h>

#include <set>
#include <string>

#include "libloop/base/error.hpp"
#include "libloop/part/bench.hpp"
#include "libloop/part/board.hpp"
#include "libloop/part/case.hpp"
#include "libloop/part/chip.hpp"
#include "libloop/part/cold_plate.hpp"
#include "libloop/part/conditions.hpp"
#include "libloop/part/coolant.hpp"
#include "libloop/part/fan.hpp"
#include "libloop/part/fitting.hpp"
#include "libloop/part/laws.hpp"
#include "libloop/part/opening.hpp"
#include "libloop/part/paste.hpp"
#include "libloop/part/pump.hpp"
#include "libloop/part/radiator.hpp"
#include "libloop/part/reservoir.hpp"
#include "libloop/part/sensor.hpp"
#include "libloop/part/shroud.hpp"
#include "libloop/part/surroundings.hpp"
#include "libloop/part/tube.hpp"

using namespace libloop;

namespace {

std::vector<const Table*> every_table() {
  std::vector<const Table*> all = cooler_tables();
  all.insert(all.end(), bench_tables().begin(), bench_tables().end());
  all.push_back(&conditions_table());
  return all;
}

}  // namespace

// The struct laid out anew from what `describe` visits: a member it leaves out makes a gap.
template <class Part>
void describes_all_members(const char* name) {
  CAPTURE(name);
  Part part;
  const char* const start = reinterpret_cast<const char*>(&part);
  std::size_t end = 0;
  const auto aligned = [](std::size_t offset, std::size_t to) {
    return (offset + to - 1) / to * to;
  };
  Part::describe(part, [&](const auto& member, const auto& declared) {
    CAPTURE(declared.name);
    const std::size_t at = static_cast<std::size_t>(reinterpret_cast<const char*>(&member) - start);
    CHECK(at == aligned(end, alignof(decltype(member))));
    end = at + sizeof(member);
  });
  CHECK(sizeof(Part) == aligned(end, alignof(Part)));
}

TEST_CASE("every member of every part is described, in its order") {
  describes_all_members<Radiator<double>>("radiator");
  describes_all_members<Fan<double>>("fan");
  describes_all_members<Pump<double>>("pump");
  describes_all_members<Tube<double>>("tube");
  describes_all_members<ColdPlate<double>>("cold_plate");
  describes_all_members<Reservoir<double>>("reservoir");
  describes_all_members<Fitting<double>>("fitting");
  describes_all_members<Opening<double>>("opening");
  describes_all_members<Shroud<double>>("shroud");
  describes_all_members<Enclosure<double>>("case");
  describes_all_members<Coolant<double>>("coolant");
  describes_all_members<BenchItself<double>>("bench");
  describes_all_members<Chip<double>>("chip");
  describes_all_members<Die<double>>("chip.die");
  describes_all_members<Paste<double>>("paste");
  describes_all_members<Board<double>>("board");
  describes_all_members<Surroundings<double>>("surroundings");
  describes_all_members<Sensor<double>>("sensor");
  describes_all_members<Laws<double>>("law");
  describes_all_members<Conditions<double>>("conditions");
}

TEST_CASE("every row is complete: name, unit, source, sentence") {
  for (const Table* table : every_table()) {
    std::set<std::string> names;
    for (const Row& row : table->rows) {
      CAPTURE(table->kind);
      CAPTURE(row.name);
      CHECK(names.insert(row.name).second);
      CHECK_FALSE(row.meaning.empty());
      CHECK(row.meaning.back() == '.');
      if (row.type == Row::Type::quantity) CHECK_FALSE(row.source.empty());
      if (row.continuous()) CHECK_FALSE(row.unit.empty());
    }
  }
}

TEST_CASE("every range lies in order, strictly inside its bounds") {
  for (const Table* table : every_table()) {
    for (const Row& row : table->rows) {
      if (row.type != Row::Type::quantity) continue;
      CAPTURE(table->kind);
      CAPTURE(row.name);
      CHECK(row.range.typical >= row.min);
      CHECK(row.range.typical <= row.max);
      if (row.range.exact()) continue;
      CHECK(row.range.low < row.range.typical);
      CHECK(row.range.typical < row.range.high);
      CHECK(row.min < row.range.low);
      CHECK(row.range.high < row.max);
    }
  }
}

TEST_CASE("no draw leaves the bounds, 3.5 standard deviations out") {
  for (const Table* table : every_table()) {
    for (const Row& row : table->rows) {
      if (row.type != Row::Type::quantity || row.range.exact()) continue;
      CAPTURE(table->kind);
      CAPTURE(row.name);
      const Spread spread(row.range, row.transform, row.min, row.max);
      CHECK(spread.at(-3.5) >= row.min);
      CHECK(spread.at(3.5) <= row.max);
    }
  }
}

TEST_CASE("a range whose draws would leave the bounds is refused") {
  Sheet tube(table_of("tube"));
  CHECK_THROWS_WITH_AS(tube.set("bore", "6.499 mm", "6.5 mm", "9 mm"),
                       doctest::Contains("too wide or too lopsided"), InputError);
  CHECK_NOTHROW(tube.set("bore", "6 mm", "6.5 mm", "8 mm"));
}
