// How fans cut a core into zones, and which spaces air passes.
#include "libloop/model/air_stack.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <set>

#include "libloop/files/read.hpp"
#include "libloop/model/model.hpp"

using namespace libloop;

namespace {

// A cooler whose parts a run of air can point at.
struct Parts {
  Cooler cooler;
  void fans(const char* name, int count, const char* size = nullptr) {
    Sheet& fan = cooler.add("fan", name);
    fan.set_count("count", count);
    if (size != nullptr) fan.set("size", size);
  }
  const Sheet* find(const std::string& path) const {
    for (const Sheet& part : cooler.parts) {
      if (part.path() == path) return &part;
    }
    return nullptr;
  }
  AirStack stack(const std::vector<const char*>& through, bool round = true) const {
    AirRun run;
    run.from = 0;
    run.to = round ? 0 : 1;
    for (const char* path : through) run.items.push_back({find(path)});
    return stack_of(run);
  }
};

Parts parts_of_class(const char* size_class) {
  Parts parts;
  parts.cooler.set("radiator.class", size_class);
  return parts;
}

double sum_of_shares(const AirStack& stack) {
  double sum = 0.0;
  for (const AirStack::ZonePlace& zone : stack.zones) sum += zone.share;
  return sum;
}

}  // namespace

TEST_CASE("fans that fill the core have a zone and a space each") {
  Parts parts = parts_of_class("360");
  parts.fans("front", 3);
  const AirStack stack = parts.stack({"fan.front", "radiator"});
  REQUIRE(stack.fans.size() == 3);
  REQUIRE(stack.zones.size() == 3);
  CHECK(stack.spaces == 5);
  for (std::size_t i = 0; i < 3; ++i) {
    CHECK(stack.fans[i].from == AirStack::begin);
    CHECK(stack.fans[i].to == stack.zones[i].from);
    CHECK(stack.zones[i].to == AirStack::end);
    CHECK(stack.fans[i].before_core);
    CHECK(stack.fans[i].uncovered == 0.0);
    CHECK(stack.fans[i].overhang == 0.0);
    CHECK(stack.zones[i].covered_width == 1.0);
    CHECK(stack.zones[i].share == doctest::Approx(1.0 / 3.0));
  }
}

TEST_CASE("a short row leaves a zone that only a difference of places blows through") {
  Parts parts = parts_of_class("360");
  parts.fans("front", 2);
  for (const bool round : {true, false}) {
    const AirStack stack = parts.stack({"fan.front", "radiator"}, round);
    REQUIRE(stack.zones.size() == 3);
    CHECK(stack.zones[2].from == AirStack::begin);
    CHECK(stack.zones[2].to == AirStack::end);
    CHECK(stack.zones[2].air == !round);
    CHECK(stack.fans[0].uncovered == doctest::Approx(1.0 / 6.0));
    CHECK(sum_of_shares(stack) == doctest::Approx(1.0));
  }
}

TEST_CASE("narrow fans cover part of the tubes and leak beside them") {
  Parts parts = parts_of_class("280");
  parts.fans("front", 2, "120 mm");
  const AirStack stack = parts.stack({"radiator", "fan.front"});
  REQUIRE(stack.zones.size() == 3);
  CHECK(stack.zones[0].covered_width == doctest::Approx(120.0 / 140.0));
  CHECK(stack.zones[2].covered_width == 1.0);
  CHECK(!stack.fans[0].before_core);
  CHECK(stack.fans[0].uncovered == doctest::Approx(0.5 * (1.0 - 240.0 * 120.0 / (280.0 * 140.0))));
}

TEST_CASE("fans wider and longer than the core blow past it") {
  Parts parts = parts_of_class("240");
  parts.fans("front", 2, "140 mm");
  const AirStack stack = parts.stack({"fan.front", "radiator"});
  REQUIRE(stack.zones.size() == 2);
  CHECK(stack.zones[0].share == doctest::Approx(140.0 / 240.0));
  CHECK(stack.zones[1].share == doctest::Approx(100.0 / 240.0));
  CHECK(stack.fans[0].overhang == doctest::Approx(0.14 * 0.14 - 0.14 * 0.12));
  CHECK(stack.fans[1].overhang == doctest::Approx(0.14 * 0.14 - 0.10 * 0.12));
  CHECK(stack.fans[0].uncovered == 0.0);
}

TEST_CASE("unlike rows on both sides cut the core where either begins or ends") {
  Parts parts = parts_of_class("420");
  parts.fans("front", 3);           // 140 mm each
  parts.fans("back", 3, "120 mm");  // 360 of 420 mm
  const AirStack stack = parts.stack({"fan.front", "radiator", "fan.back"});
  // Cuts at 120, 140, 240, 280, 360 mm.
  REQUIRE(stack.zones.size() == 6);
  CHECK(sum_of_shares(stack) == doctest::Approx(1.0));
  CHECK(stack.zones[0].covered_width == doctest::Approx(120.0 / 140.0));
  CHECK(stack.zones[5].covered_width == 1.0);
  CHECK(stack.zones[5].to == AirStack::end);  // open behind
  CHECK(stack.zones[0].from == stack.zones[1].from);
  CHECK(stack.zones[1].to != stack.zones[0].to);
  int first = 0;
  for (const AirStack::FanPlace& fan : stack.fans) first += fan.counts ? 1 : 0;
  CHECK(first == 3);
}

TEST_CASE("cores one behind the other keep their strips, unlike ones meet in one space") {
  Parts parts;
  parts.cooler.clear("radiator");
  for (const char* name : {"a", "b", "c"}) {
    parts.cooler.add("radiator", name).set("class", name[0] == 'c' ? "280" : "240");
  }
  parts.fans("front", 2);
  const AirStack alike = parts.stack({"fan.front", "radiator.a", "radiator.b"});
  REQUIRE(alike.zones.size() == 4);
  CHECK(alike.spaces == 2 + 2 + 2);
  CHECK(alike.zones[0].to == alike.zones[2].from);
  const AirStack unlike = parts.stack({"fan.front", "radiator.a", "radiator.c"});
  REQUIRE(unlike.zones.size() == 3);
  CHECK(unlike.zones[0].to == unlike.zones[2].from);
  CHECK(unlike.zones[1].to == unlike.zones[2].from);
}

TEST_CASE("a shroud makes one space of all fans") {
  Parts parts = parts_of_class("360");
  parts.fans("front", 2);
  parts.cooler.add("shroud");
  const AirStack stack = parts.stack({"fan.front", "shroud", "radiator"});
  REQUIRE(stack.zones.size() == 1);
  CHECK(stack.zones[0].shroud != nullptr);
  CHECK(stack.zones[0].covered_width == 1.0);
  CHECK(stack.fans[0].to == stack.fans[1].to);
  CHECK(stack.fans[0].leak_of == nullptr);
  REQUIRE(stack.shrouds.size() == 1);
  CHECK(stack.shrouds[0].from == stack.zones[0].from);
  CHECK(stack.shrouds[0].to == AirStack::begin);
}

TEST_CASE("fans between two cores stay on their strips, and the strip beside them is open") {
  Parts parts;
  parts.cooler.clear("radiator");
  for (const char* name : {"a", "b"}) parts.cooler.add("radiator", name).set("class", "360");
  parts.fans("middle", 2);
  const AirStack stack = parts.stack({"radiator.a", "fan.middle", "radiator.b"}, false);
  REQUIRE(stack.zones.size() == 6);
  CHECK(stack.zones[2].to == stack.zones[5].from);
  CHECK(stack.zones[2].to > AirStack::end);
  CHECK(stack.zones[2].air);
  std::set<int> used;
  for (const AirStack::FanPlace& fan : stack.fans) used.insert(fan.to);
  CHECK(used.count(stack.zones[2].to) == 0);
}

TEST_CASE("only a core with fans beside it lies in their shadow") {
  Parts parts;
  parts.cooler.clear("radiator");
  for (const char* name : {"a", "b"}) parts.cooler.add("radiator", name).set("class", "240");
  parts.fans("front", 2);
  const AirStack stack = parts.stack({"fan.front", "radiator.a", "radiator.b"});
  REQUIRE(stack.zones.size() == 4);
  for (std::size_t z = 0; z < 4; ++z) CHECK(stack.zones[z].hub_shadow == (z < 2));
  const AirStack pulled = parts.stack({"radiator.a", "radiator.b", "fan.front"});
  for (std::size_t z = 0; z < 4; ++z) CHECK(pulled.zones[z].hub_shadow == (z >= 2));
  parts.cooler.add("opening");
  const AirStack fed = parts.stack({"fan.front", "opening", "radiator.a"});
  REQUIRE(fed.zones.size() == 1);
  CHECK(!fed.zones[0].hub_shadow);
}

TEST_CASE("of two rows the one that relieves the core less counts") {
  Parts parts = parts_of_class("240");
  parts.fans("front", 2);
  parts.fans("back", 2);
  parts.cooler.add("shroud", "more").set("hub_relief", "0.8");
  parts.cooler.add("shroud", "less").set("hub_relief", "0.3");
  const auto relief = [&](const std::vector<const char*>& through) {
    const AirStack stack = parts.stack(through);
    CHECK(stack.zones.front().hub_shadow);
    return stack.zones.front().shroud;
  };
  const Sheet *more = parts.find("shroud.more"), *less = parts.find("shroud.less");
  CHECK(relief({"fan.front", "shroud.more", "radiator", "shroud.less", "fan.back"}) == less);
  CHECK(relief({"fan.front", "shroud.less", "radiator", "shroud.more", "fan.back"}) == less);
  CHECK(relief({"fan.front", "shroud.more", "radiator", "fan.back"}) == nullptr);
  CHECK(relief({"fan.front", "radiator", "shroud.more", "fan.back"}) == nullptr);
  CHECK(relief({"fan.front", "shroud.more", "radiator"}) == more);
  CHECK(relief({"radiator", "shroud.more", "fan.back"}) == more);
}

TEST_CASE("each fan that looks past the core is named") {
  for (const char* size : {"120 mm", "140 mm"}) {
    Cooler cooler = read_cooler(std::string(LIBLOOP_SOURCE) + "/examples/stacked-front-first.toml");
    cooler.set("fan.size", size);
    Solver solver(Model(cooler, Bench()));
    std::set<std::string> named;
    for (const Note& note : solver.solve({.load = 180.0}).notes) {
      if (note.code == "fan_past_core") named.insert(note.text.substr(0, note.text.find(':')));
    }
    if (std::string(size) == "120 mm") {
      CHECK(named.empty());
    } else {
      CHECK(named == std::set<std::string>{"fan.1 looks past the core with 14 % of its area",
                                           "fan.2 looks past the core with 39 % of its area"});
    }
  }
}
