#include "libloop/model/rated_speed.hpp"

#include <doctest/doctest.h>

namespace libloop {
namespace {

TEST_CASE("fans and pumps share a rated speed, or do not") {
  Cooler cooler;
  CHECK(rated_speed(cooler, "fan").value == 0.0);
  CHECK(rated_speed(cooler, "pump").machines == "pump");
  CHECK_FALSE(rated_speed(cooler, "pump").given);

  cooler.add("fan", "front").set("rated_speed", "1800 rpm");
  const RatedSpeed one = rated_speed(cooler, "fan");
  CHECK(one.machines == "fans");  // one entry holds several
  CHECK(one.value == doctest::Approx(30.0));
  CHECK(one.given);
  CHECK(one.alike);

  cooler.add("fan", "back");
  CHECK_FALSE(rated_speed(cooler, "fan").given);
  cooler.find("fan.back").set("rated_speed", "1500 rpm");
  const RatedSpeed two = rated_speed(cooler, "fan");
  CHECK(two.given);
  CHECK_FALSE(two.alike);

  cooler.add("pump", "second");
  CHECK(rated_speed(cooler, "pump").machines == "pumps");
}

}  // namespace
}  // namespace libloop
