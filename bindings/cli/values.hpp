// Values of options whose unit may be left out.
#pragma once

#include <optional>
#include <string>

namespace libloop::cli {

// "0.5 K" or "0.5", in SI. Throws WrongCall.
double value_of(const std::string& option, const std::string& word, const char* unit);
// The same within bounds, which are SI.
double value_between(const std::string& option, const std::string& word, const char* unit,
                     double low, double high);
// Of an option that was not given: nothing.
std::optional<double> value_given(const std::string& option, const std::string& word,
                                  const char* unit, double low, double high);

}  // namespace libloop::cli
