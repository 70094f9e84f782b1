// From the names of a network to parts between places, and what is said of a wrong one.
#include "libloop/model/wiring.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace libloop;

namespace {

Cooler sealed() {
  Cooler cooler;
  cooler.set("radiator.class", "240");
  cooler.add("fan").set_count("count", 2);
  return cooler;
}

// Two radiators in series, two plates in parallel, named places, one tube entry.
Cooler custom() {
  Cooler cooler;
  for (const char* kind : {"radiator", "tube", "cold_plate"}) cooler.clear(kind);
  for (const char* name : {"front", "roof"}) {
    cooler.add("radiator", name).set("class", "240");
    cooler.add("fan", name).set_count("count", 2);
    cooler.add("cold_plate", name);
  }
  cooler.add("tube", "hose").set_count("count", 2);
  cooler.network.join = {{"pump.out", "split"},
                         {"split", "cold_plate.front.in", "cold_plate.roof.in"},
                         {"cold_plate.front.out", "cold_plate.roof.out", "tube.hose.1.in"},
                         {"tube.hose.1.out", "radiator.front.in"},
                         {"radiator.front.out", "radiator.roof.in"},
                         {"radiator.roof.out", "tube.hose.2.in"},
                         {"tube.hose.2.out", "pump.in"}};
  cooler.network.air = {{"outside", {{"fan.front"}, {"radiator.front"}}, "outside"},
                        {"outside", {{"radiator.roof"}, {"fan.roof"}}, "outside"}};
  return cooler;
}

// Whether some problem says this.
bool says(const Cooler& cooler, const char* words, const char* about = nullptr) {
  const std::vector<Problem> problems = wire(cooler).problems;
  return std::any_of(problems.begin(), problems.end(), [&](const Problem& p) {
    return p.message.find(words) != std::string::npos && !p.suggestion.empty() &&
           (about == nullptr || p.about == about);
  });
}

const CoolantPart& part(const Wiring& wiring, const std::string& name) {
  for (const CoolantPart& p : wiring.coolant) {
    if (p.name == name) return p;
  }
  throw std::out_of_range(name);
}

}  // namespace

TEST_CASE("a sealed loop is a ring of six parts with air from outside to outside") {
  const Cooler cooler = sealed();
  const Wiring wiring = wire(cooler);
  CHECK(wiring.problems.empty());
  CHECK(wiring.coolant.size() == 5);
  CHECK(wiring.coolant_places.size() == 5);
  CHECK(part(wiring, "tube.1").to == part(wiring, "pump").from);
  CHECK(part(wiring, "tube.2").to == part(wiring, "radiator").from);
  REQUIRE(wiring.air.size() == 1);
  CHECK(wiring.air[0].from == 0);
  CHECK(wiring.air[0].to == 0);
  REQUIRE(wiring.air[0].items.size() == 2);
  CHECK(wiring.air[0].items[0].front()->table().kind == "fan");
}

TEST_CASE("pulling fans stand behind the core, both sides make push and pull") {
  Cooler cooler = sealed();
  cooler.set("fan.side", "pull");
  CHECK(wire(cooler).air[0].items[1].front()->table().kind == "fan");
  cooler.add("fan");
  CHECK(wire(cooler).problems.empty());
  CHECK(wire(cooler).air[0].items.size() == 3);
}

TEST_CASE("parts of a sealed loop may have names") {
  Cooler cooler = sealed();
  cooler.clear("radiator");
  cooler.add("radiator", "top").set("class", "240");
  CHECK(wire(cooler).problems.empty());
}

TEST_CASE("a custom loop: ports that share a word meet") {
  const Cooler cooler = custom();
  const Wiring wiring = wire(cooler);
  for (const Problem& p : wiring.problems) MESSAGE(p.message);
  REQUIRE(wiring.problems.empty());
  CHECK(part(wiring, "pump").to == part(wiring, "cold_plate.roof").from);
  CHECK(part(wiring, "cold_plate.front").to == part(wiring, "tube.hose.1").from);
  const auto split = static_cast<std::size_t>(part(wiring, "pump").to);
  CHECK(wiring.coolant_places[split] == "split");
}

TEST_CASE("only air named: the ring stays that of a sealed loop") {
  Cooler cooler = sealed();
  cooler.add("opening", "mesh");
  cooler.network.air = {{"outside", {{"opening.mesh"}, {"fan"}, {"radiator"}}, "outside"}};
  const Wiring wiring = wire(cooler);
  CHECK(wiring.problems.empty());
  CHECK(wiring.coolant.size() == 5);
}

TEST_CASE("what is wrong with coolant is said with the names of the parts") {
  Cooler c = custom();
  c.network.join[3][1] = "radiator.frnt.in";
  CHECK(says(c, "no part has a port called 'radiator.frnt.in'", "network.join.4.2"));
  CHECK(wire(c).problems.front().suggestion.find("radiator.front.in") != std::string::npos);

  c = custom();
  c.network.join[3][0] = "tube.hose.3.out";
  CHECK(wire(c).problems.front().suggestion.find("count = 2") != std::string::npos);
  c.network.join[3][0] = "cold_plate.out";
  CHECK(wire(c).problems.front().suggestion.find("Say which") != std::string::npos);
  c.network.join[3][0] = "reservoir.out";
  CHECK(wire(c).problems.front().suggestion.find("no [reservoir]") != std::string::npos);

  c = custom();
  c.network.join[0] = {"pump"};
  CHECK(says(c, "joins nothing"));
  CHECK(says(c, "'pump' is a part, not one of its ports"));

  c = custom();
  c.network.join.erase(c.network.join.begin() + 4);
  CHECK(says(c, "radiator.front.out is joined to nothing"));
  CHECK(says(c, "radiator.roof.in is joined to nothing"));

  c = custom();
  c.network.join.push_back({"radiator.front.in", "radiator.front.out"});
  CHECK(says(c, "both ports of radiator.front meet"));

  c = custom();
  c.add("pump", "spare");
  c.add("tube", "short");
  c.network.join.push_back({"pump.spare.out", "tube.short.in"});
  c.network.join.push_back({"pump.spare.in", "tube.short.out"});
  // Two pumps now, one of them without a name.
  c.network.join[0][0] = "pump.1.out";
  c.network.join[6][1] = "pump.1.in";
  CHECK(says(c, "separate pieces"));

  c = custom();
  c.clear("pump");
  c.network.join[0] = {"tube.hose.2.out", "split"};
  c.network.join.pop_back();
  CHECK(says(c, "no pump drives the coolant"));

  c = custom();
  c.network.join[0][1] = "splt";
  CHECK(says(c, "pump.out meets no other port", "network.join.1.1"));

  c = sealed();
  c.add("pump", "second");
  CHECK(says(c, "2 of pump"));
  c = sealed();
  c.add("reservoir");
  CHECK(says(c, "has no place in a sealed loop", "reservoir"));
  c = sealed();
  c.clear("fan");
  CHECK(says(c, "no fan"));
}

TEST_CASE("what is wrong with air is said with the names of the parts") {
  Cooler c = custom();
  c.network.air.pop_back();
  CHECK(says(c, "no air path leads through radiator.roof", "radiator.roof"));
  CHECK(says(c, "no air path leads through fan.roof"));

  c = custom();
  c.network.air[1].through[0] = {"radiator.front"};
  CHECK(says(c, "air passes radiator.front twice", "network.air.2"));

  c = custom();
  c.network.air[1].through[1] = {"fan.rof"};
  CHECK(says(c, "no part that air passes is called 'fan.rof'"));

  c = custom();
  c.network.air[0].to = "duct";
  CHECK(says(c, "only one way joins it to the outside"));
  // Two paths touch it, and still nothing can pass.
  c.network.air[1] = {"duct", {{"radiator.roof"}, {"fan.roof"}}, "duct"};
  CHECK(says(c, "only one way joins it to the outside"));

  c = custom();
  for (AirPath& path : c.network.air) path.from = path.to = "room";
  CHECK(says(c, "never meets the outside"));

  c = custom();
  c.network.air[0].from = "fan.front";
  CHECK(says(c, "is a part, not a place"));

  c = custom();
  c.network.air[0].through[1] = {"radiator.front", "radiator.roof"};
  c.network.air[1].through = {{"fan.roof"}};
  CHECK(says(c, "only fans can stand side by side"));

  c = custom();
  c.set("fan.front.side", "push");
  CHECK(says(c, "gives a side", "fan.front.side"));

  c = custom();
  c.add("shroud");
  c.network.air[0].through.push_back({"shroud"});
  CHECK(says(c, "is not between fans and a radiator"));

  c = custom();
  c.network.air[0].through.clear();
  CHECK(says(c, "leads through nothing"));
}
