// What the columns of a tester's tables are called in the trade, in English and German.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace libloop::files {

enum class Column {
  cooler,
  load,
  fan,  // share of rated speed or speed: the unit tells
  rise,
  chip,
  ambient,
  noise,
  mount,
  held,
  throttled,  // the opposite of held
  settled,
  price,
  date,
  u,           // standard uncertainty of the rise
  expanded_u,  // twice that
  background,
  distance
};

// "load": the word that problems and decisions use.
std::string_view word(Column column);
// The unit its numbers are taken in where none is given; empty for text and for fans.
std::string_view usual_unit(Column column);

// By the name of a heading, with or without its unit; nothing when it is none of them.
std::optional<Column> column_named(std::string_view heading);

// Every name, for suggestions.
std::vector<std::string> column_names();

}  // namespace libloop::files
