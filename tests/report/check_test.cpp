#include "libloop/report/check.hpp"

#include <doctest/doctest.h>

namespace libloop::report {
namespace {

bool has(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

Cooler example() {
  Cooler cooler;
  cooler.title = "Invented";
  cooler.add("fan");
  cooler.set("radiator.class", "240");
  cooler.set("radiator.thickness", "30 mm");
  cooler.the("radiator").set("fin_density", "15 fpi", "17 fpi", "19 fpi");
  cooler.set("fan.count", "2");
  return cooler;
}

TEST_CASE("a check tells what is given, what is assumed with its range, and the rules") {
  const Cooler cooler = example();
  const std::string out = text(contents(cooler, "x.toml"));
  CHECK(out.rfind("x.toml: the cooler 'Invented' is in order: 4 values given, ", 0) == 0);
  const std::size_t assumed = out.find("\nAssumed"), rules = out.find("\nFollowing a rule");
  CHECK(out.find("radiator.fin_density") < assumed);
  CHECK(has(out, "15 to 19 fpi"));
  CHECK(out.find("radiator.fin_height") > assumed);
  CHECK(out.find("radiator.core_depth") > rules);
  CHECK(has(out, "from thickness less frame_allowance"));
}

TEST_CASE("a given curve stands for the figures it replaces") {
  Cooler cooler = example();
  cooler.the("fan").set_curve("curve", {{0.0, 20.0}, {0.01, 12.0}, {0.03, 0.0}});
  const std::string out = text(contents(cooler, "x.toml"));
  CHECK(out.find("fan.static_pressure") > out.find("\nFollowing a rule"));
  CHECK(has(out, "the curve stands for it"));
  CHECK(has(out, "3 points"));
}

TEST_CASE("a given value keeps four digits, whatever unit it was written in") {
  Cooler cooler = example();
  cooler.set("fan.free_flow", "74 cfm");
  const std::string out = text(contents(cooler, "x.toml"));
  CHECK(has(out, " 125.7 m3/h  exact"));
  const std::vector<Contents> files = {contents(cooler, "x.toml")};
  CHECK(has(csv(files), ",125.72679"));
}

TEST_CASE("what nobody wrote is not counted as given") {
  Cooler cooler;
  cooler.add("fan");
  cooler.set("radiator.class", "240");
  CHECK(has(text(contents(cooler, "x.toml")), ": 1 value given, "));
}

TEST_CASE("fans without a name are numbered") {
  Cooler cooler = example();
  cooler.add("fan");
  const std::string out = text(contents(cooler, "x.toml"));
  CHECK(has(out, "fan.1.count"));
  CHECK(has(out, "fan.2.count"));
}

TEST_CASE("benches are checked alike, and files may be many") {
  const Bench bench = generic_bench("small-dies");
  const Cooler cooler = example();
  const std::vector<Contents> files = {contents(cooler, "a.toml"), contents(bench, "b.toml")};
  CHECK(has(json(files), "\"kind\": \"bench\""));
  CHECK(has(json(files), "\"quantity\": \"chip.die.left.x\""));
  CHECK(has(csv(files), "a.toml,radiator.fin_density,quantity,given,fpi,15,17,19,"));
  CHECK(has(csv(files), "b.toml,chip.die.left.x,quantity,given,mm,-6,-6,-6,"));
}

}  // namespace
}  // namespace libloop::report
