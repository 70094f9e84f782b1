#include "libloop/part/catalogue.hpp"

#include <stdexcept>

#include "libloop/part/bench.hpp"
#include "libloop/part/board.hpp"
#include "libloop/part/case.hpp"
#include "libloop/part/chip.hpp"
#include "libloop/part/cold_plate.hpp"
#include "libloop/part/conditions.hpp"
#include "libloop/part/coolant.hpp"
#include "libloop/part/fan.hpp"
#include "libloop/part/fitting.hpp"
#include "libloop/part/instruments.hpp"
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

namespace libloop {
namespace {

struct Catalogue {
  Table radiator = make_table<Radiator<double>>("radiator");
  Table fan = make_table<Fan<double>>("fan");
  Table pump = make_table<Pump<double>>("pump");
  Table tube = make_table<Tube<double>>("tube");
  Table cold_plate = make_table<ColdPlate<double>>("cold_plate");
  Table reservoir = make_table<Reservoir<double>>("reservoir");
  Table fitting = make_table<Fitting<double>>("fitting");
  Table opening = make_table<Opening<double>>("opening");
  Table shroud = make_table<Shroud<double>>("shroud");
  Table enclosure = make_table<Enclosure<double>>("case");
  Table coolant = make_table<Coolant<double>>("coolant");
  Table bench = make_table<BenchItself<double>>("bench");
  Table chip = make_table<Chip<double>>("chip");
  Table die = make_table<Die<double>>("chip.die");
  Table paste = make_table<Paste<double>>("paste");
  Table board = make_table<Board<double>>("board");
  Table surroundings = make_table<Surroundings<double>>("surroundings");
  Table sensor = make_table<Sensor<double>>("sensor");
  Table instruments = make_table<Instruments<double>>("instruments");
  Table law = make_table<Laws<double>>("law");
  Table conditions = make_table<Conditions<double>>("conditions");

  std::vector<const Table*> cooler{&radiator,   &fan,       &pump,    &tube,
                                   &cold_plate, &reservoir, &fitting, &opening,
                                   &shroud,     &enclosure, &coolant};
  std::vector<const Table*> of_bench{&bench,        &chip,   &die,         &paste, &board,
                                     &surroundings, &sensor, &instruments, &law};
};

// Made once, never changed: safe to read from many threads.
const Catalogue& catalogue() {
  static const Catalogue all;
  return all;
}

}  // namespace

const std::vector<const Table*>& cooler_tables() { return catalogue().cooler; }
const std::vector<const Table*>& bench_tables() { return catalogue().of_bench; }
const Table& conditions_table() { return catalogue().conditions; }

const Table& table_of(std::string_view kind) {
  for (const auto* tables : {&cooler_tables(), &bench_tables()}) {
    for (const Table* table : *tables) {
      if (table->kind == kind) return *table;
    }
  }
  if (kind == conditions_table().kind) return conditions_table();
  throw std::out_of_range("no such kind of part");
}

}  // namespace libloop
