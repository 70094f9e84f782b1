// Units and dimensions: text to SI and back.
//
// A unit is a product or quotient of symbols with whole powers: "W/(m K)", "mm2 K/W",
// "J/kg/K", "m3/h". Trade units (fpi, cfm, mmH2O, L/min, rpm, dBA) are symbols like any
// other. A temperature point and a difference of temperature are two dimensions: "C" and
// "F" name points, "K" a difference, and a point only where one is asked for.
#pragma once

#include <array>
#include <string>
#include <string_view>
#include <vector>

namespace libloop {

// Exponents of metre, kilogram, second, kelvin, revolution, decibel.
struct Dimension {
  std::array<signed char, 6> power{};
  bool point = false;  // a point on the temperature scale

  friend bool operator==(const Dimension&, const Dimension&) = default;
};

// si = number * factor + offset
struct Unit {
  double factor = 1.0;
  double offset = 0.0;
  Dimension dimension;
};

// Throws InputError (code unit) with a near-miss suggestion.
Unit parse_unit(std::string_view text);

// Whether a number in a unit of dimension `given` can be read where `wanted` is asked for: they
// are one, or kelvins are given for a temperature point.
bool stands_for(const Dimension& given, const Dimension& wanted);

// "12 mm" -> 0.012 for a quantity whose display unit is `unit`. Throws InputError with
// code unit (no unit, unknown unit, no number) or dimension.
double parse_value(std::string_view text, std::string_view unit);

// SI -> the number in `unit`, and back.
double to_unit(double si, std::string_view unit);
double from_unit(double number, std::string_view unit);

// "12 mm", four significant digits.
std::string show(double si, std::string_view unit, int digits = 4);

// Every unit symbol, for suggestions and docs.
std::vector<std::string> unit_symbols();

}  // namespace libloop
