// The reference of all rows that files may hold: quantities, overrides, counts, choices,
// curves, with units, ranges, sources and meanings.
//
// docs/quantities.md is quantities_markdown() and nothing else.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "libloop/quantity/table.hpp"

namespace libloop::report {

// The tables of one kind of part ("radiator"; "chip" brings its dies), or of all kinds when
// `part` is empty. Throws InputError with a near miss.
std::vector<const Table*> tables_named(std::string_view part);

std::string quantities_text(const std::vector<const Table*>& tables);
std::string quantities_json(const std::vector<const Table*>& tables);
std::string quantities_csv(const std::vector<const Table*>& tables);
std::string quantities_markdown(const std::vector<const Table*>& tables);

}  // namespace libloop::report
