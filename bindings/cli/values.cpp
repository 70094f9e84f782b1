#include "bindings/cli/values.hpp"

#include <fmt/format.h>

#include "bindings/cli/call.hpp"
#include "libloop/base/text.hpp"
#include "libloop/quantity/unit.hpp"

namespace libloop::cli {

double value_of(const std::string& option, const std::string& word, const char* unit) {
  const std::string trimmed(text::trim(word));
  const std::optional<double> number = text::parse_number(trimmed);
  if (number) return from_unit(*number, unit);
  return as_call(fmt::format("{} {}", option, word), [&] { return parse_value(trimmed, unit); });
}

double value_between(const std::string& option, const std::string& word, const char* unit,
                     double low, double high) {
  const double value = value_of(option, word, unit);
  if (value >= low && value <= high) return value;
  fail_call(fmt::format("{} {}: out of bounds", option, word),
            fmt::format("Between {} and {}.", show(low, unit), show(high, unit)));
}

std::optional<double> value_given(const std::string& option, const std::string& word,
                                  const char* unit, double low, double high) {
  if (word.empty()) return std::nullopt;
  return value_between(option, word, unit, low, high);
}

}  // namespace libloop::cli
