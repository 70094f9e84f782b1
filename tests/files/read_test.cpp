#include "libloop/files/read.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "libloop/files/document.hpp"

namespace libloop {
namespace {

const char* const cooler_text = R"(
[cooler]
title = "Invented 280 with a dense core"
notes = "Numbers of our own; no product has them."

[radiator]
class = "280"
thickness = "30 mm"
fin_density = { typical = "20 fpi", low = "18 fpi", high = "22 fpi" }
passes = 2

[[fan]]
name = "front"
count = 1
curve = [["0 cfm", "2 mmH2O"], ["40 cfm", "1 mmH2O"], ["70 cfm", "0 mmH2O"]]

[[fan]]
rated_speed = "1750 rpm"

[coolant]
kind = "water"
)";

TEST_CASE("a cooler file is read") {
  const Cooler cooler = parse_cooler(cooler_text, "text");
  CHECK(cooler.title == "Invented 280 with a dense core");
  CHECK(cooler.notes == "Numbers of our own; no product has them.");
  CHECK(cooler.price.empty());
  CHECK(cooler.the("radiator").choice("class") == "280");
  CHECK(cooler.the("radiator").entry("thickness").range.exact());
  CHECK(cooler.the("radiator").typical("thickness") == doctest::Approx(0.030));
  CHECK(cooler.the("radiator").entry("fin_density").range.low == doctest::Approx(18 / 0.0254));
  CHECK(cooler.the("radiator").given("passes"));
  CHECK_FALSE(cooler.the("radiator").given("fin_height"));
  CHECK(cooler.the("radiator").typical("fin_height") == doctest::Approx(0.0075));
  const std::vector<const Sheet*> fans = cooler.all("fan");
  REQUIRE(fans.size() == 2);
  CHECK(fans[0]->path() == "fan.front");
  CHECK(fans[1]->path() == "fan.2");
  REQUIRE(fans[0]->entry("curve").points.size() == 3);
  CHECK(fans[0]->entry("curve").points[0].second == doctest::Approx(2 * 9.80665));
  CHECK(fans[1]->typical("rated_speed") == doctest::Approx(1750.0 / 60));
  CHECK(cooler.the("coolant").choice("kind") == "water");
  CHECK_FALSE(cooler.the("pump").given("rated_speed"));
}

TEST_CASE("a bench file is read, dies by number") {
  const Bench bench = parse_bench(R"(
[bench]
title = "Two dies"
load_at = "reference"
background = "21 dBA"
[chip]
limit = "90 C"
[[chip.die]]
length = "8 mm"
x = "-5 mm"
[[chip.die]]
length = "8 mm"
x = "5 mm"
[sensor]
offset = { typical = "0.5 K", low = "-1 K", high = "2 K" }
)",
                                  "text");
  CHECK(bench.title == "Two dies");
  CHECK(bench.bench.choice("load_at") == "reference");
  REQUIRE(bench.seats.size() == 1);
  const Seat& seat = bench.seat();
  CHECK(seat.name().empty());
  CHECK(seat.chip.typical("limit") == doctest::Approx(363.15));
  REQUIRE(seat.dies.size() == 2);
  CHECK(seat.dies[0].path() == "chip.die.1");
  CHECK(seat.dies[1].typical("x") == doctest::Approx(0.005));
  CHECK(seat.sensor.entry("offset").range.high == doctest::Approx(2.0));
}

TEST_CASE("all of a bench may be left out") {
  const Bench bench = parse_bench("", "text");
  CHECK(bench.seats.size() == 1);
  CHECK(bench.seat().dies.size() == 1);
  CHECK_FALSE(bench.seat().chip.given("limit"));
}

TEST_CASE("other spellings that TOML allows") {
  const std::string plain = "[radiator]\nclass = \"240\"\n[[fan]]\ncount = 2\n";
  const auto size = [](const std::string& text) {
    return parse_cooler(text, "t").the("radiator").choice("class");
  };
  CHECK(size("\xEF\xBB\xBF" + plain) == "240");
  CHECK(parse_cooler("[radiator]\r\nclass = \"240\"\r\n[[fan]]\r\n", "t").all("fan").size() == 1);
  CHECK(parse_cooler("radiator.class = '240'\nfan = [{ count = 2 }]", "t")
            .the("fan")
            .count("count") == 2);
  CHECK(parse_cooler("[[radiator]]\nname = \"top\"\nclass = \"240\"\n[[fan]]\n", "t")
            .the("radiator")
            .path() == "radiator.top");
  CHECK(size(plain + "# an open [[[[ bracket and a quote \" in a comment\n") == "240");
  CHECK(parse_cooler("[cooler]\ntitle = \"[[[[[[[[[[[[[[[[[[[[[\"\n" + plain, "t").title.size() ==
        21);
}

std::vector<std::string> paths_in(const std::vector<const Sheet*>& sheets) {
  std::vector<std::string> paths;
  for (const Sheet* sheet : sheets) paths.push_back(sheet->path());
  return paths;
}

using Paths = std::vector<std::string>;

// Two radiators in series with a plate, and a box of openings around one of them.
const char* const network_text = R"(
[[radiator]]
name = "front"
class = "240"
[[radiator]]
name = "roof"
class = "240"
[[fan]]
name = "left"
[[fan]]
name = "right"
[[fan]]
name = "roof"
count = 2
[pump]
[[tube]]
count = 2
[cold_plate]
[opening]
[[case]]
name = "box"

[network]
join = [
  ["pump.out", "cold_plate.in"],
  ["cold_plate.out", "tube.1.in"],
  ["tube.1.out", "middle"],
  ["middle", "radiator.front.in"],
  ["radiator.front.out", "radiator.roof.in"],
  ["radiator.roof.out", "tube.2.in"],
  ["tube.2.out", "pump.in"],
]

[[network.air]]
through = [["fan.left", "fan.right"], "radiator.front"]
to = "case.box"

[[network.air]]
from = "case.box"
through = ["radiator.roof", ["fan.roof"]]

[[network.air]]
from = "case.box"
through = ["opening"]
to = "outside"
)";

TEST_CASE("a cooler file with a network has exactly the parts it lists") {
  const Cooler cooler = parse_cooler(network_text, "text");
  CHECK(paths_in(cooler.sheets()) == Paths{"radiator.front", "radiator.roof", "fan.left",
                                           "fan.right", "fan.roof", "pump", "tube", "cold_plate",
                                           "opening", "case.box", "coolant"});
  CHECK(cooler.the("tube").count("count") == 2);
  REQUIRE(cooler.network.join.size() == 7);
  CHECK(cooler.network.join[2] == Paths{"tube.1.out", "middle"});
  REQUIRE(cooler.network.air.size() == 3);
  const AirPath& first = cooler.network.air[0];
  CHECK(first.from == "outside");
  CHECK(first.to == "case.box");
  CHECK(first.through == Words{{"fan.left", "fan.right"}, {"radiator.front"}});
  CHECK(cooler.network.air[1].from == "case.box");
  CHECK(cooler.network.air[1].to == "outside");
  CHECK(cooler.network.air[1].through == Words{{"radiator.roof"}, {"fan.roof"}});
}

TEST_CASE("inline tables say the same") {
  std::string text = network_text;
  text = text.substr(0, text.find("[[network.air]]")) + R"(
air = [
  { through = [["fan.left", "fan.right"], "radiator.front"], to = "case.box" },
  { from = "case.box", through = ["radiator.roof", "fan.roof"] },
  { from = "case.box", through = ["opening"] },
]
)";
  const Cooler cooler = parse_cooler(text, "text");
  REQUIRE(cooler.network.air.size() == 3);
  CHECK(cooler.network.air[2].from == "case.box");
}

TEST_CASE("without joins the coolant runs in the ring of a sealed loop") {
  const Cooler cooler = parse_cooler(R"(
[radiator]
class = "240"
[[fan]]
count = 2
[opening]
[[network.air]]
through = ["opening", "fan", "radiator"]
)",
                                     "text");
  CHECK(cooler.network.join.empty());
  CHECK(paths_in(cooler.sheets()) ==
        Paths{"radiator", "fan", "pump", "tube", "cold_plate", "opening", "coolant"});
}

TEST_CASE("several parts of a kind without names are numbered") {
  const Cooler cooler = parse_cooler(R"(
[radiator]
class = "240"
[[fan]]
[[fan]]
[[pump]]
[[pump]]
[cold_plate]
[network]
join = [
  ["pump.1.out", "pump.2.in"],
  ["pump.2.out", "cold_plate.in"],
  ["cold_plate.out", "radiator.in"],
  ["radiator.out", "pump.1.in"],
]
[[network.air]]
through = [["fan.1", "fan.2"], "radiator"]
)",
                                     "text");
  CHECK(paths_in(cooler.all("pump")) == Paths{"pump.1", "pump.2"});
}

TEST_CASE("several chips have dies, paste, board and sensor of their own") {
  const Bench bench = parse_bench(R"toml(
[[chip]]
name = "processor"
limit = "95 C"
[[chip.die]]
length = "8 mm"
x = "-5 mm"
[[chip.die]]
name = "right"
length = "8 mm"
x = "5 mm"

[[chip]]
name = "graphics"
limit = "90 C"
[[chip.die]]
length = "20 mm"

[[chip]]
name = "memory"

[paste]
conductivity = "6 W/(m K)"

[[board]]
name = "graphics"

[[sensor]]
name = "graphics"
offset = "1 K"
)toml",
                                  "text");
  REQUIRE(bench.seats.size() == 3);
  Paths names, dies;
  for (const Seat& seat : bench.seats) {
    names.push_back(seat.name());
    for (const Sheet& die : seat.dies) dies.push_back(die.path());
    CHECK(seat.paste.path() == "paste." + seat.name());
    CHECK(seat.paste.typical("conductivity") == doctest::Approx(6.0));
    CHECK(seat.board.name() == seat.name());
    CHECK(seat.sensor.given("offset") == (seat.name() == "graphics"));
  }
  CHECK(names == Paths{"processor", "graphics", "memory"});
  CHECK(dies == Paths{"chip.die.processor.1", "chip.die.processor.right", "chip.die.graphics",
                      "chip.die.memory"});
  CHECK(bench.seats[0].dies[1].typical("x") == doctest::Approx(0.005));
  CHECK(bench.seats[1].chip.typical("limit") == doctest::Approx(363.15));
}

TEST_CASE("chips without names are numbered, and so is what is theirs") {
  const Bench bench = parse_bench(
      "[[chip]]\n[[chip]]\n[[paste]]\n[[paste]]\nconductivity = \"6 W/(m K)\"\n", "text");
  REQUIRE(bench.seats.size() == 2);
  CHECK(bench.seats[1].chip.path() == "chip.2");
  CHECK(bench.seats[1].dies[0].path() == "chip.die.2");
  CHECK_FALSE(bench.seats[0].paste.given("conductivity"));
  CHECK(bench.seats[1].paste.given("conductivity"));
}

}  // namespace
}  // namespace libloop
