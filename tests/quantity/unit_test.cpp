#include "libloop/quantity/unit.hpp"

#include <doctest/doctest.h>

#include <string>

#include "libloop/base/error.hpp"
#include "support/published.hpp"

namespace libloop {
namespace {

using testing::published;

Code code_of(const char* text, const char* unit) {
  try {
    parse_value(text, unit);
  } catch (const InputError& error) {
    return error.code();
  }
  FAIL("no error for ", text);
  return Code::call;
}

std::string suggestion_of(const char* text, const char* unit) {
  try {
    parse_value(text, unit);
  } catch (const InputError& error) {
    return error.problems().front().suggestion;
  }
  return "no error";
}

TEST_CASE("trade units by their definitions") {
  const char* sp811 = "NIST SP 811 (2008), Appendix B, from memory";
  published("1 cfm in m3/s", sp811, 4.719474e-4, parse_value("1 cfm", "m3/s"), 1e-6);
  published("1 gpm in m3/s", sp811, 6.309020e-5, parse_value("1 gpm", "m3/s"), 1e-6);
  published("1 mmH2O in Pa", sp811, 9.80665, parse_value("1 mmH2O", "Pa"), 1e-12);
  published("1 inH2O in Pa", sp811, 249.0889, parse_value("1 inH2O", "Pa"), 1e-6);
  published("1 psi in Pa", sp811, 6894.757, parse_value("1 psi", "Pa"), 1e-6);
  published("1 in in m", sp811, 0.0254, parse_value("1 in", "m"), 1e-12);
  published("1 ft in m", sp811, 0.3048, parse_value("1 ft", "m"), 1e-12);
  published("72 F in K", sp811, 295.3722, parse_value("72 F", "C"), 1e-6);
}

TEST_CASE("everyday units") {
  CHECK(parse_value("20 fpi", "fpi") == doctest::Approx(20.0 / 0.0254));
  CHECK(parse_value("1 L/min", "m3/s") == doctest::Approx(1e-3 / 60));
  CHECK(parse_value("3 lpm", "L/min") == doctest::Approx(3e-3 / 60));
  CHECK(parse_value("90 m3/h", "cfm") == doctest::Approx(0.025));
  CHECK(parse_value("1800 rpm", "rpm") == doctest::Approx(30.0));  // revolutions a second
  CHECK(parse_value("180 deg", "rad") == doctest::Approx(3.14159265358979));
  CHECK(parse_value("25 C", "C") == doctest::Approx(298.15));
  CHECK(parse_value("300 K", "C") == doctest::Approx(300.0));  // an absolute temperature
  CHECK(parse_value("5 K", "K") == doctest::Approx(5.0));
  CHECK(parse_value("30 %", "1") == doctest::Approx(0.3));
  CHECK(parse_value("0.3", "1") == doctest::Approx(0.3));
  CHECK(parse_value("0.3", "%") == doctest::Approx(0.3));
  CHECK(parse_value("33 dBA", "dBA") == doctest::Approx(33.0));
  CHECK(parse_value("1.5e1 mm", "mm") == doctest::Approx(0.015));
  CHECK(parse_value("-2mm", "mm") == doctest::Approx(-0.002));
}

TEST_CASE("compound units, as people write them") {
  for (const char* spelled : {"200 W/(m K)", "200 W/m/K", "200 W/mK", "200 W/(m·K)", "200 W/(m*K)",
                              "200 W m-1 K-1", "200 W m^-1 K^-1", "0.2 W/(mm K)", "2 W/(cm K)"}) {
    CAPTURE(spelled);
    CHECK(parse_value(spelled, "W/(m K)") == doctest::Approx(200.0));
  }
  CHECK(parse_value("10 mm2 K/W", "m2 K/W") == doctest::Approx(1e-5));
  CHECK(parse_value("10 mm² K/W", "m2 K/W") == doctest::Approx(1e-5));
  CHECK(parse_value("10 mm2K/W", "m2 K/W") == doctest::Approx(1e-5));
  CHECK(parse_value("4.2 kJ/kg/K", "J/(kg K)") == doctest::Approx(4200.0));
  CHECK(parse_value("1 µm", "um") == doctest::Approx(1e-6));
  CHECK(parse_value("1 W/µm", "W/m") == doctest::Approx(1e6));
}

TEST_CASE("every symbol is read, shown and read again") {
  for (const std::string& symbol : unit_symbols()) {
    CAPTURE(symbol);
    const Unit unit = parse_unit(symbol);
    CHECK(unit.factor > 0.0);
    const double si = parse_value("12.5 " + symbol, symbol);
    CHECK(to_unit(si, symbol) == doctest::Approx(12.5));
    CHECK(from_unit(to_unit(si, symbol), symbol) == doctest::Approx(si));
    CHECK(parse_value(show(si, symbol), symbol) == doctest::Approx(si));
  }
}

TEST_CASE("show and parse keep every unit of a part's table") {
  for (const char* unit : {"W/(m K)", "mm2 K/W", "m3/h", "J/(m K)", "kJ/K", "L/min", "W/K", "1"}) {
    CAPTURE(unit);
    const double si = from_unit(7.25, unit);
    CHECK(parse_value(show(si, unit), unit) == doctest::Approx(si));
  }
}

TEST_CASE("faults of a value are told apart") {
  CHECK(code_of("30", "mm") == Code::unit);
  CHECK(code_of("mm", "mm") == Code::unit);
  CHECK(code_of("", "mm") == Code::unit);
  CHECK(code_of("nan mm", "mm") == Code::unit);
  CHECK(code_of("30 mmm", "mm") == Code::unit);
  CHECK(code_of("30 W", "mm") == Code::dimension);
  CHECK(code_of("30 m", "W/(m K)") == Code::dimension);
  CHECK(code_of("5 C", "K") == Code::dimension);
  CHECK(code_of("5 C/W", "K/W") == Code::unit);
  CHECK(code_of("1e308 kW", "W") == Code::bounds);
  CHECK(suggestion_of("30 mmm", "mm") == "Did you mean 'mm'?");
  CHECK(suggestion_of("30", "mm") == "Write the unit too, \"30 mm\".");
  CHECK(suggestion_of("1 C", "K") == "Write a number with its unit, \"12 K\".");
}

TEST_CASE("what is no unit is refused") {
  for (const char* wrong :
       {"", "/", "m/", "m//s", "(m", "m)", "m^", "m-", "m99", "m h/", "^2", "C m", "m(s)",
        "((((((((((((((((((m))))))))))))))))))",
        "kg kg kg kg kg kg kg kg kg kg kg kg kg kg kg kg kg kg kg kg kg kg kg"}) {
    CAPTURE(wrong);
    CHECK_THROWS_AS(parse_unit(wrong), InputError);
  }
}

TEST_CASE("kelvins stand for a temperature, no other unit for another dimension") {
  const auto fits = [](const char* given, const char* wanted) {
    return stands_for(parse_unit(given).dimension, parse_unit(wanted).dimension);
  };
  CHECK(fits("min", "s"));
  CHECK(fits("F", "C"));
  CHECK(fits("K", "C"));
  CHECK_FALSE(fits("C", "K"));  // a point is no difference
  CHECK_FALSE(fits("m", "C"));
  CHECK_FALSE(fits("rpm", "%"));
}

}  // namespace
}  // namespace libloop
