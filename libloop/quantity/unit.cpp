#include "libloop/quantity/unit.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "libloop/base/error.hpp"
#include "libloop/base/text.hpp"

namespace libloop {
namespace {

struct Symbol {
  const char* name;
  double factor;
  std::array<signed char, 6> power;
  double offset = 0.0;
  bool point = false;
};

constexpr double inch = 0.0254;
constexpr double water_column = 9.80665;  // Pa per mm at 1000 kg/m3 and standard gravity
constexpr double gallon = 231.0 * inch * inch * inch;
constexpr double degree = 0.017453292519943295;

// metre, kilogram, second, kelvin, revolution, decibel
constexpr Symbol symbols[] = {
    {"m", 1, {1, 0, 0, 0, 0, 0}},
    {"cm", 1e-2, {1, 0, 0, 0, 0, 0}},
    {"mm", 1e-3, {1, 0, 0, 0, 0, 0}},
    {"um", 1e-6, {1, 0, 0, 0, 0, 0}},
    {"µm", 1e-6, {1, 0, 0, 0, 0, 0}},
    {"μm", 1e-6, {1, 0, 0, 0, 0, 0}},
    {"in", inch, {1, 0, 0, 0, 0, 0}},
    {"ft", 12 * inch, {1, 0, 0, 0, 0, 0}},
    {"fpi", 1 / inch, {-1, 0, 0, 0, 0, 0}},
    {"L", 1e-3, {3, 0, 0, 0, 0, 0}},
    {"l", 1e-3, {3, 0, 0, 0, 0, 0}},
    {"mL", 1e-6, {3, 0, 0, 0, 0, 0}},
    {"ml", 1e-6, {3, 0, 0, 0, 0, 0}},
    {"kg", 1, {0, 1, 0, 0, 0, 0}},
    {"g", 1e-3, {0, 1, 0, 0, 0, 0}},
    {"s", 1, {0, 0, 1, 0, 0, 0}},
    {"ms", 1e-3, {0, 0, 1, 0, 0, 0}},
    {"min", 60, {0, 0, 1, 0, 0, 0}},
    {"h", 3600, {0, 0, 1, 0, 0, 0}},
    {"cfm", 1728 * inch* inch* inch / 60, {3, 0, -1, 0, 0, 0}},
    {"CFM", 1728 * inch* inch* inch / 60, {3, 0, -1, 0, 0, 0}},
    {"lpm", 1e-3 / 60, {3, 0, -1, 0, 0, 0}},
    {"gpm", gallon / 60, {3, 0, -1, 0, 0, 0}},
    {"Pa", 1, {-1, 1, -2, 0, 0, 0}},
    {"kPa", 1e3, {-1, 1, -2, 0, 0, 0}},
    {"hPa", 1e2, {-1, 1, -2, 0, 0, 0}},
    {"bar", 1e5, {-1, 1, -2, 0, 0, 0}},
    {"mbar", 1e2, {-1, 1, -2, 0, 0, 0}},
    {"psi", 6894.757293168, {-1, 1, -2, 0, 0, 0}},
    {"mmH2O", water_column, {-1, 1, -2, 0, 0, 0}},
    {"inH2O", water_column * 25.4, {-1, 1, -2, 0, 0, 0}},
    {"N", 1, {1, 1, -2, 0, 0, 0}},
    {"J", 1, {2, 1, -2, 0, 0, 0}},
    {"kJ", 1e3, {2, 1, -2, 0, 0, 0}},
    {"W", 1, {2, 1, -3, 0, 0, 0}},
    {"mW", 1e-3, {2, 1, -3, 0, 0, 0}},
    {"kW", 1e3, {2, 1, -3, 0, 0, 0}},
    {"K", 1, {0, 0, 0, 1, 0, 0}},
    {"C", 1, {0, 0, 0, 1, 0, 0}, 273.15, true},
    {"°C", 1, {0, 0, 0, 1, 0, 0}, 273.15, true},
    {"degC", 1, {0, 0, 0, 1, 0, 0}, 273.15, true},
    {"F", 5.0 / 9.0, {0, 0, 0, 1, 0, 0}, 459.67 * 5.0 / 9.0, true},
    {"°F", 5.0 / 9.0, {0, 0, 0, 1, 0, 0}, 459.67 * 5.0 / 9.0, true},
    {"degF", 5.0 / 9.0, {0, 0, 0, 1, 0, 0}, 459.67 * 5.0 / 9.0, true},
    {"rpm", 1.0 / 60, {0, 0, -1, 0, 1, 0}},
    {"rps", 1, {0, 0, -1, 0, 1, 0}},
    {"rev", 1, {0, 0, 0, 0, 1, 0}},
    {"dB", 1, {0, 0, 0, 0, 0, 1}},
    {"dBA", 1, {0, 0, 0, 0, 0, 1}},
    {"dB(A)", 1, {0, 0, 0, 0, 0, 1}},
    {"%", 1e-2, {}},
    {"ppm", 1e-6, {}},
    {"deg", degree, {}},
    {"°", degree, {}},
    {"rad", 1, {}},
    {"1", 1, {}},
    // Spellings in which the trade leaves out the space or the bracket.
    {"W/mK", 1, {1, 1, -3, -1, 0, 0}},
    {"W/m2K", 1, {0, 1, -3, -1, 0, 0}},
    {"mm2K/W", 1e-6, {0, -1, 3, 1, 0, 0}},
    {"J/kgK", 1, {2, 0, -2, -1, 0, 0}},
};

constexpr int highest_power = 9;
constexpr int deepest_nesting = 16;
constexpr std::size_t longest_unit = 64;

const Symbol* find_symbol(std::string_view name) {
  for (const Symbol& symbol : symbols) {
    if (name == symbol.name) return &symbol;
  }
  return nullptr;
}

Unit as_unit(const Symbol& symbol) {
  return {symbol.factor, symbol.offset, {symbol.power, symbol.point}};
}

[[noreturn]] void fail(Code code, std::string message, std::string suggestion = {}) {
  throw InputError(Problem{code, std::move(message), std::move(suggestion), {}});
}

[[noreturn]] void fail_unknown(std::string_view seen) {
  std::string hint = text::did_you_mean(seen, unit_symbols());
  if (hint.empty()) hint = "Units look like 'mm', 'fpi', 'm3/h', 'L/min' or 'W/(m K)'.";
  fail(Code::unit, fmt::format("unknown unit '{}'", seen), hint);
}

// Recursive descent over  unit := factor { ["*" | "." | " " | "/"] factor }
//                         factor := ( symbol | "(" unit ")" ) [ ["^"] power ]
class UnitParser {
 public:
  explicit UnitParser(std::string_view all) : all_(all) {}

  Unit whole() {
    const Unit unit = product();
    if (at_ != all_.size()) fail_unknown(all_);
    return unit;
  }

 private:
  Unit product() {
    Unit result = factor();
    for (;;) {
      const bool spaced = skip(" ");
      const bool divide = skip("/");
      const bool times = !divide && (skip("*") || skip("·"));
      if (divide || times) skip(" ");
      if (at_ >= all_.size() || all_[at_] == ')') {
        if (divide || times) fail_unknown(all_);
        return result;
      }
      if (!divide && !times && !spaced) fail_unknown(all_);
      result = combine(result, factor(), divide ? -1 : 1);
    }
  }

  Unit factor() {
    Unit base;
    if (skip("(")) {
      if (++depth_ > deepest_nesting) fail_unknown(all_);
      base = product();
      --depth_;
      if (!skip(")")) fail_unknown(all_);
    } else {
      base = symbol();
    }
    const int power = exponent();
    return power == 1 ? base : combine(Unit{}, base, power);
  }

  // The longest run of letters that is a symbol; a trailing whole number is its power.
  Unit symbol() {
    const std::size_t start = at_;
    std::size_t end = start;
    while (end < all_.size() &&
           std::string_view(" */()^·0123456789-+").find(all_[end]) == std::string_view::npos) {
      ++end;
    }
    // A symbol may hold a figure of its own (mmH2O), or be the figure 1.
    for (const Symbol& known : symbols) {
      const std::string_view name = known.name;
      if (name.size() > end - start && all_.substr(start, name.size()) == name &&
          name.find('/') == std::string_view::npos) {
        end = start + name.size();
      }
    }
    const Symbol* found = find_symbol(all_.substr(start, end - start));
    if (found == nullptr) fail_unknown(end > start ? all_.substr(start, end - start) : all_);
    at_ = end;
    return as_unit(*found);
  }

  int exponent() {
    const bool caret = skip("^");
    const bool minus = skip("-");
    if (skip("²")) return minus ? -2 : 2;
    if (skip("³")) return minus ? -3 : 3;
    int power = 0;
    const std::size_t start = at_;
    while (at_ < all_.size() && all_[at_] >= '0' && all_[at_] <= '9' && power <= highest_power) {
      power = 10 * power + (all_[at_++] - '0');
    }
    if (at_ == start) {
      if (caret || minus) fail_unknown(all_);
      return 1;
    }
    if (power > highest_power) fail_unknown(all_);
    return minus ? -power : power;
  }

  static Unit combine(Unit a, const Unit& b, int power) {
    if (b.dimension.point || a.dimension.point) {
      fail(Code::unit, "a temperature point (C or F) cannot be part of a compound unit",
           "Write K for a difference: 'W/K', 'mm2 K/W'.");
    }
    a.factor *= std::pow(b.factor, power);
    for (std::size_t i = 0; i < a.dimension.power.size(); ++i) {
      const int sum = a.dimension.power[i] + power * b.dimension.power[i];
      if (std::abs(sum) > 99) fail(Code::unit, "the unit has a power beyond 99");
      a.dimension.power[i] = static_cast<signed char>(sum);
    }
    if (!std::isfinite(a.factor) || a.factor == 0.0) {
      fail(Code::unit, "the unit is too large or too small to compute with");
    }
    return a;
  }

  bool skip(std::string_view token) {
    if (all_.substr(at_, token.size()) != token) return false;
    at_ += token.size();
    return true;
  }

  std::string_view all_;
  std::size_t at_ = 0;
  int depth_ = 0;
};

// Where the number at the start of `value` ends.
std::size_t number_end(std::string_view value) {
  std::size_t end = 0;
  const auto digit = [&](std::size_t i) {
    return i < value.size() && value[i] >= '0' && value[i] <= '9';
  };
  if (end < value.size() && (value[end] == '-' || value[end] == '+')) ++end;
  while (digit(end)) ++end;
  if (end < value.size() && value[end] == '.') ++end;
  while (digit(end)) ++end;
  if (end < value.size() && (value[end] == 'e' || value[end] == 'E')) {
    std::size_t power = end + 1;
    if (power < value.size() && (value[power] == '-' || value[power] == '+')) ++power;
    if (digit(power)) {
      while (digit(power)) ++power;
      end = power;
    }
  }
  return end;
}

std::string example(std::string_view unit) {
  if (unit == "1") return "a plain number in quotes, \"1.2\"";
  return fmt::format("a number with its unit, \"12 {}\"", unit);
}

}  // namespace

std::vector<std::string> unit_symbols() {
  std::vector<std::string> names;
  for (const Symbol& symbol : symbols) names.emplace_back(symbol.name);
  return names;
}

Unit parse_unit(std::string_view text) {
  const std::string_view unit = text::trim(text);
  if (unit.empty()) fail(Code::unit, "no unit");
  if (unit.size() > longest_unit) {
    fail(Code::unit, fmt::format("'{}...' is no unit", text::cut(unit, 16)));
  }
  if (const Symbol* symbol = find_symbol(unit)) return as_unit(*symbol);
  return UnitParser(unit).whole();
}

bool stands_for(const Dimension& given, const Dimension& wanted) {
  Dimension as_point = given;
  as_point.point = as_point.point || wanted.point;
  return as_point == wanted;
}

double parse_value(std::string_view text, std::string_view unit) {
  const std::string_view value = text::trim(text);
  const std::size_t end = number_end(value);
  const std::optional<double> number = text::parse_number(value.substr(0, end));
  if (!number) {
    fail(Code::unit, fmt::format("'{}' does not start with a number", text::cut(value, 40)),
         fmt::format("Write {}.", example(unit)));
  }
  const Unit wanted = parse_unit(unit);
  const std::string_view seen = text::trim(value.substr(end));
  if (seen.size() > 1 && seen[0] == ',' && seen[1] >= '0' && seen[1] <= '9') {
    fail(Code::unit, fmt::format("'{}' has a comma in its number", text::cut(value, 40)),
         fmt::format("Write a decimal point: \"{}.{}\".", value.substr(0, end),
                     text::cut(seen.substr(1), 20)));
  }
  if (seen.empty()) {
    if (wanted.dimension == Dimension{}) return *number;
    fail(Code::unit, fmt::format("'{}' has no unit", value),
         fmt::format("Write the unit too, \"{} {}\".", value, unit));
  }
  const Unit given = parse_unit(seen);
  if (!stands_for(given.dimension, wanted.dimension)) {
    const bool difference = given.dimension.point && !wanted.dimension.point;
    fail(Code::dimension,
         difference ? fmt::format("'{}' is a temperature, but a difference is asked for", value)
                    : fmt::format("'{}' is of another dimension than '{}'", seen, unit),
         fmt::format("Write {}.", example(unit)));
  }
  const double si = *number * given.factor + given.offset;
  if (!std::isfinite(si)) fail(Code::bounds, fmt::format("'{}' is too large", value));
  return si;
}

double to_unit(double si, std::string_view unit) {
  const Unit parsed = parse_unit(unit);
  return (si - parsed.offset) / parsed.factor;
}

double from_unit(double number, std::string_view unit) {
  const Unit parsed = parse_unit(unit);
  return number * parsed.factor + parsed.offset;
}

std::string show(double si, std::string_view unit, int digits) {
  const std::string number = text::number(to_unit(si, unit), digits);
  return unit == "1" ? number : fmt::format("{} {}", number, unit);
}

}  // namespace libloop
