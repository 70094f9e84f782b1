#include "libloop/part/shroud.hpp"

#include <doctest/doctest.h>

#include "libloop/part/catalogue.hpp"
#include "libloop/part/shroud_element.hpp"
#include "support/element.hpp"

namespace libloop {
namespace {

using testing::Alone;

TEST_CASE("a shroud leaks as a sharp-edged gap does") {
  Sheet shroud(table_of("shroud"));
  const Sheet conditions(conditions_table());
  shroud.set("gap", "3 cm2");
  const Alone<ShroudLeak> alone({&shroud, &conditions}, {&shroud, &conditions}, 2);
  const double density = fluid::air_density(305.0, fluid::standard_pressure(0.0));
  const double velocity = 1e-3 / (density * 0.6 * 3e-4);
  const std::vector<double> at_work = {1e-3, 305.0};
  CHECK(alone(at_work)[0] == doctest::Approx(0.5 * density * velocity * velocity).epsilon(1e-4));
  CHECK(alone(at_work)[1] == 305.0);
  CHECK(testing::resists(alone, at_work, {1e-12, 1e-9, 1e-6, 1e-3, 0.1}));
  CHECK(alone.worst_slope(at_work) < 1e-6);
}

}  // namespace
}  // namespace libloop
