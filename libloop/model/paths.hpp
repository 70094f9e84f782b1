// How parts are called: "radiator", "radiator.top", "fan.2"; and how a path finds a row.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "libloop/quantity/table.hpp"

namespace libloop {

// The name of each sheet among the others: its kind and name, or its number when several
// of a kind have none.
std::vector<std::string> paths_of(const std::vector<const Sheet*>& sheets);

// Sets a row of every sheet that the path names: "fan.free_flow" of all fans,
// "fan.front.free_flow" or "fan.1.free_flow" of one. Throws InputError.
void set_by_path(const std::vector<Sheet*>& sheets, std::string_view path, std::string_view value);

// Whether the path begins with the kind of one of the sheets.
bool has_kind(const std::vector<const Sheet*>& sheets, std::string_view path);

// The sheets of an owner that may be changed, from its list for reading.
template <class Owner>
std::vector<Sheet*> changeable(Owner& owner) {
  std::vector<Sheet*> sheets;
  for (const Sheet* sheet : static_cast<const Owner&>(owner).sheets()) {
    sheets.push_back(const_cast<Sheet*>(sheet));  // NOLINT: owner is not const
  }
  return sheets;
}

}  // namespace libloop
