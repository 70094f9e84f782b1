// A chip's own load replaces that of the duty, for its dies and for its board.
#include <doctest/doctest.h>

#include "libloop/part/board_element.hpp"
#include "libloop/part/catalogue.hpp"
#include "support/element.hpp"

namespace libloop {
namespace {

using testing::Alone;

TEST_CASE("a board's own heat is a share of its chip's load") {
  const Sheet board(table_of("board")), conditions(conditions_table());
  Sheet chip(table_of("chip"));
  const auto own_heat = [&] {
    const Alone<BoardElement> alone({&board, &chip, &conditions}, {&board, &chip, &conditions}, 5);
    return alone({300.0, 298.0})[3];
  };
  CHECK(own_heat() == doctest::Approx(0.08 * 100.0));
  chip.set("load", "250 W");
  CHECK(own_heat() == doctest::Approx(0.08 * 250.0));
}

}  // namespace
}  // namespace libloop
