#include "libloop/part/case.hpp"

#include <doctest/doctest.h>

#include "libloop/part/case_element.hpp"
#include "libloop/part/catalogue.hpp"
#include "support/element.hpp"

namespace libloop {
namespace {

using testing::Alone;

TEST_CASE("the air of a case keeps what its walls do not pass") {
  const Sheet enclosure(table_of("case"));
  const Alone<CaseElement> alone({&enclosure}, {&enclosure}, 4);
  const std::vector<double> out = alone({305.0, 298.0});
  CHECK(out[0] == doctest::Approx(30.0 - 3.0 * 7.0));
  CHECK(out[1] == doctest::Approx(30.0));
  CHECK(out[2] == doctest::Approx(30.0));
  CHECK(out[3] == out[2]);
  CHECK(alone.worst_slope({305.0, 298.0}) < 1e-6);
}

TEST_CASE("a case without other hardware settles at the air around") {
  Sheet enclosure(table_of("case"));
  enclosure.set("own_heat", "0 W");
  const Alone<CaseElement> alone({&enclosure}, {&enclosure}, 4);
  for (const double number : alone({298.0, 298.0})) CHECK(number == 0.0);
}

}  // namespace
}  // namespace libloop
