#include "libloop/law/layer.hpp"

#include <doctest/doctest.h>

#include "support/published.hpp"

namespace libloop::law {
namespace {

using testing::published;

TEST_CASE("layer and contact") {
  const char* source = "R = t/(kA) (definition)";
  published("10x10 mm, k 5, 25 um, K/W", source, 0.05, layer_resistance(25e-6, 5.0, 1e-4), 1e-12);
  published("10x10 mm, k 5, 100 um, K/W", source, 0.20, layer_resistance(100e-6, 5.0, 1e-4), 1e-12);
  CHECK(contact_resistance(5e-6, 1e-4) == doctest::Approx(0.05));
  CHECK(joint_resistance(25e-6, 5.0, 5e-6, 1e-4) == doctest::Approx(0.10));
}

TEST_CASE("bond line falls with pressure") {
  CHECK(bond_line(100.0, 100.0) == doctest::Approx(1.31e-4));
  CHECK(bond_line(100.0, 2e5) < bond_line(100.0, 1e5));
}

TEST_CASE("layer: derivatives") {
  const Gradient r = joint_resistance(Gradient::variable(25e-6, 0), Gradient::variable(5.0, 1),
                                      Gradient::variable(5e-6, 2), Gradient::variable(1e-4, 3));
  CHECK(r.slope[0] == doctest::Approx(1.0 / (5.0 * 1e-4)));
  CHECK(r.slope[1] == doctest::Approx(-25e-6 / (25.0 * 1e-4)));
  CHECK(r.slope[2] == doctest::Approx(1e4));
  CHECK(r.slope[3] == doctest::Approx(-0.1 / 1e-4));
}

}  // namespace
}  // namespace libloop::law
