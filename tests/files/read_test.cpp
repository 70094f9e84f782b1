#include "libloop/files/read.hpp"

#include <doctest/doctest.h>

#include <string>

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
  CHECK(cooler.radiator.choice("class") == "280");
  CHECK(cooler.radiator.entry("thickness").range.exact());
  CHECK(cooler.radiator.typical("thickness") == doctest::Approx(0.030));
  CHECK(cooler.radiator.entry("fin_density").range.low == doctest::Approx(18 / 0.0254));
  CHECK(cooler.radiator.given("passes"));
  CHECK_FALSE(cooler.radiator.given("fin_height"));
  CHECK(cooler.radiator.typical("fin_height") == doctest::Approx(0.0075));
  REQUIRE(cooler.fans.size() == 2);
  CHECK(cooler.fans[0].path() == "fan.front");
  CHECK(cooler.fans[1].path() == "fan.2");
  REQUIRE(cooler.fans[0].entry("curve").points.size() == 3);
  CHECK(cooler.fans[0].entry("curve").points[0].second == doctest::Approx(2 * 9.80665));
  CHECK(cooler.fans[1].typical("rated_speed") == doctest::Approx(1750.0 / 60));
  CHECK(cooler.coolant.choice("kind") == "water");
  CHECK_FALSE(cooler.pump.given("rated_speed"));
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
  CHECK(bench.chip.typical("limit") == doctest::Approx(363.15));
  REQUIRE(bench.dies.size() == 2);
  CHECK(bench.dies[0].path() == "chip.die.1");
  CHECK(bench.dies[1].typical("x") == doctest::Approx(0.005));
  CHECK(bench.sensor.entry("offset").range.high == doctest::Approx(2.0));
}

TEST_CASE("all of a bench may be left out") {
  const Bench bench = parse_bench("", "text");
  CHECK(bench.dies.size() == 1);
  CHECK_FALSE(bench.chip.given("limit"));
}

TEST_CASE("other spellings that TOML allows") {
  const std::string plain = "[radiator]\nclass = \"240\"\n[[fan]]\ncount = 2\n";
  CHECK(parse_cooler("\xEF\xBB\xBF" + plain, "t").radiator.choice("class") == "240");
  CHECK(parse_cooler("[radiator]\r\nclass = \"240\"\r\n[[fan]]\r\n", "t").fans.size() == 1);
  CHECK(parse_cooler("radiator.class = '240'\nfan = [{ count = 2 }]", "t").fans[0].count("count") ==
        2);
  CHECK(parse_cooler("[[radiator]]\nname = \"top\"\nclass = \"240\"\n[[fan]]\n", "t")
            .radiator.path() == "radiator.top");
  CHECK(parse_cooler(plain + "# an open [[[[ bracket and a quote \" in a comment\n", "t")
            .fans.size() == 1);
  CHECK(parse_cooler("[cooler]\ntitle = \"[[[[[[[[[[[[[[[[[[[[[\"\n" + plain, "t").title.size() ==
        21);
}

}  // namespace
}  // namespace libloop
