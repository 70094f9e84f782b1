#include "libloop/part/opening.hpp"

#include <doctest/doctest.h>

#include "libloop/part/catalogue.hpp"
#include "libloop/part/opening_element.hpp"
#include "support/element.hpp"

namespace libloop {
namespace {

using testing::Alone;

struct Wall {
  Sheet opening{table_of("opening")};
  Sheet conditions{conditions_table()};
  Alone<OpeningElement> alone() const {
    return {{&opening, &conditions}, {&opening, &conditions}, 2};
  }
};

const std::vector<double> at_work = {0.03, 300.0};

// Velocity heads at the face.
double heads(const Wall& wall) {
  const double area = wall.opening.typical("area");
  const double density = fluid::air_density(300.0, fluid::standard_pressure(0.0));
  const double velocity = 0.03 / (density * area);
  return wall.alone()(at_work)[0] / (0.5 * density * velocity * velocity);
}

TEST_CASE("an opening takes its mesh and its ends, in velocity heads at the face") {
  Wall wall;
  CHECK(heads(wall) == doctest::Approx(law::screen_loss(0.5) + 1.5).epsilon(1e-4));
  wall.opening.set("open_share", "1");
  wall.opening.set("loss", "2.8");
  CHECK(heads(wall) == doctest::Approx(2.8).epsilon(1e-4));
}

TEST_CASE("air leaves an opening as it entered, and thin air takes more pressure") {
  Wall wall;
  CHECK(wall.alone()(at_work)[1] == 300.0);
  const double at_sea = wall.alone()(at_work)[0];
  wall.conditions.set("altitude", "2000 m");
  CHECK(wall.alone()(at_work)[0] > 1.2 * at_sea);
}

TEST_CASE("an opening resists flow in either direction, with exact slopes") {
  Wall mesh, hole;
  hole.opening.set("open_share", "1");
  for (const Wall* wall : {&mesh, &hole}) {
    CHECK(testing::resists(wall->alone(), at_work, {1e-12, 1e-9, 1e-6, 1e-3, 0.03, 1.0}));
  }
  CHECK(mesh.alone().worst_slope(at_work) < 1e-6);
  CHECK(mesh.alone().worst_slope({-1e-5, 300.0}) < 1e-6);
}

}  // namespace
}  // namespace libloop
