// Every kind of part with its table. To add a part, describe it and list it here.
#pragma once

#include <string_view>
#include <vector>

#include "libloop/quantity/table.hpp"

namespace libloop {

// "radiator", "fan", "pump", "tube", "cold_plate", "reservoir", "fitting", "opening",
// "shroud", "case", "coolant"
const std::vector<const Table*>& cooler_tables();
// "bench", "chip", "chip.die", "paste", "board", "surroundings", "sensor", "law"
const std::vector<const Table*>& bench_tables();
// "conditions"
const Table& conditions_table();

// The table of one kind; throws std::out_of_range for a kind that does not exist.
const Table& table_of(std::string_view kind);

}  // namespace libloop
