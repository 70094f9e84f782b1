#include "libloop/part/fitting.hpp"

#include <doctest/doctest.h>

#include "libloop/base/error.hpp"
#include "libloop/part/catalogue.hpp"
#include "libloop/part/fitting_element.hpp"
#include "support/element.hpp"

namespace libloop {
namespace {

using testing::Alone;

struct Fitted {
  Sheet fitting{table_of("fitting")};
  Sheet coolant{table_of("coolant")};
  Alone<FittingElement> alone() const { return {{&fitting, &coolant}, {&fitting, &coolant}, 4}; }
};

const std::vector<double> at_work = {0.02, 3800.0, 310.0};

TEST_CASE("an elbow's loss is Hooper's, stated at Re 1500") {
  Fitted fitted;
  const double bore = 0.0065;
  const double hooper = law::two_k(1500.0, 800.0, 0.40, bore);
  fitted.fitting.set("loss", Range{hooper, hooper, hooper});
  const fluid::Liquid<double> liquid = fluid::make_liquid(fluid::LiquidKind::propylene_glycol, 0.3);
  const double density = fluid::density(liquid, 310.0);
  const double area = 0.25 * 3.141592653589793 * bore * bore, velocity = 0.02 / (density * area);
  const double reynolds = 0.02 * bore / (area * fluid::viscosity(liquid, 310.0));
  CHECK(fitted.alone()(at_work)[0] == doctest::Approx(law::two_k(reynolds, 800.0, 0.40, bore) *
                                                      0.5 * density * velocity * velocity));
}

TEST_CASE("a valve's loss goes as one over the square of its opening") {
  Fitted open, half, shut;
  half.fitting.set("opening", "50 %");
  shut.fitting.set("opening", "0.001");
  const double drop = open.alone()(at_work)[0];
  CHECK(half.alone()(at_work)[0] == doctest::Approx(4.0 * drop));
  CHECK(shut.alone()(at_work)[0] == doctest::Approx(1e6 * drop));
  CHECK_THROWS_AS(shut.fitting.set("opening", "0"), InputError);
}

TEST_CASE("a fitting passes heat on and keeps none") {
  const Fitted fitted;
  const std::vector<double> out = fitted.alone()(at_work);
  CHECK(out[1] == 310.0);
  CHECK(out[2] == doctest::Approx(-0.02 * 3800.0 * 310.0));
  CHECK(out[3] > 0.0);
}

TEST_CASE("a fitting resists flow in either direction, with exact slopes") {
  const Fitted fitted;
  const Alone<FittingElement> alone = fitted.alone();
  CHECK(testing::resists(alone, at_work, {1e-9, 1e-6, 1e-3, 0.02, 1.0}));
  CHECK(alone.worst_slope(at_work) < 1e-6);
  CHECK(alone.worst_slope({-0.02, 3800.0, 310.0}) < 1e-6);
}

}  // namespace
}  // namespace libloop
