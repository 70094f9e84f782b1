// What a profile may be, and what is refused.
#include "libloop/warmup/profile.hpp"

#include <doctest/doctest.h>

#include <limits>

#include "libloop/base/error.hpp"
#include "libloop/part/catalogue.hpp"

using namespace libloop;

namespace {

Model any_model() {
  Cooler cooler;
  cooler.add("fan");
  cooler.set("radiator.class", "240");
  return {cooler, generic_bench("one-large-die")};
}

// The one problem, or nothing.
std::string refusal(const Profile& profile) {
  const Model model = any_model();
  try {
    profile.check(model);
  } catch (const InputError& error) {
    return error.what();
  }
  return {};
}

bool refused(const Profile& profile, const char* word) {
  const std::string told = refusal(profile);
  CAPTURE(told);
  return told.find(word) != std::string::npos;
}

Profile loads(std::vector<double> times, std::vector<double> watts) {
  return {{"conditions.load"}, std::move(times), {std::move(watts)}};
}

}  // namespace

TEST_CASE("a duty is a profile of one row") {
  const Profile p = steady({.load = 120.0, .ambient = 300.0, .altitude = 500.0, .fan = 0.4});
  CHECK(p.end() == 0.0);
  CHECK(p.names.size() == p.values.size());
  CHECK(refusal(p).empty());
  CHECK(Profile().end() == 0.0);
}

TEST_CASE("ramps, steps and whatever a model has may move") {
  CHECK(refusal(loads({0.0, 60.0, 60.0, 300.0}, {0.0, 0.0, 200.0, 100.0})).empty());
  CHECK(refusal(loads({0.0, 0.0}, {0.0, 200.0})).empty());
  CHECK(refusal({{"radiator.air_loss"}, {0.0}, {{1.0}}}).empty());
}

TEST_CASE("what is no profile is refused, and says which row") {
  constexpr double nan = std::numeric_limits<double>::quiet_NaN();
  constexpr double infinite = std::numeric_limits<double>::infinity();
  CHECK(refused(loads({}, {}), "no row"));
  CHECK(refused(loads({1.0}, {100.0}), "1 s"));
  CHECK(refused(loads({0.0, 20.0, 10.0}, {1.0, 2.0, 3.0}), "10 s"));
  CHECK(refused(loads({0.0, 5.0, 5.0, 5.0}, {1.0, 2.0, 3.0, 4.0}), "three rows"));
  CHECK(refused(loads({0.0, nan}, {1.0, 2.0}), "nan"));
  CHECK(refused(loads({0.0, infinite}, {1.0, 2.0}), "inf"));
  CHECK(refused(loads({0.0, 2e8}, {1.0, 2.0}), "2e+08"));
  CHECK(refused(loads({0.0, 1.0}, {1.0}), "1 values for 2 rows"));
  CHECK(refused(loads({0.0, 30.0}, {1.0, -5.0}), "-5"));
  CHECK(refused(loads({0.0, 30.0}, {1.0, nan}), "nan"));
  CHECK(refused(loads({0.0, 30.0}, {1.0, infinite}), "inf"));
  CHECK(refused({{"conditions.lode"}, {0.0}, {{1.0}}}, "conditions.lode"));
  CHECK(refused({{"conditions.load"}, {0.0}, {}}, "number"));
}
