#include "libloop/files/tolerant_unit.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "libloop/base/text.hpp"
#include "libloop/files/tolerant_cells.hpp"

namespace libloop::files {
namespace {

using Pair = std::pair<std::string_view, std::string_view>;

// Spellings, folded, and the unit each stands for. U/min: Umdrehungen je Minute.
constexpr Pair spellings[] = {
    {"c", "C"},
    {"°c", "C"},
    {"° c", "C"},
    {"℃", "C"},
    {"degc", "C"},
    {"deg c", "C"},
    {"deg. c", "C"},
    {"degree c", "C"},
    {"degrees c", "C"},
    {"celsius", "C"},
    {"deg celsius", "C"},
    {"degrees celsius", "C"},
    {"grad c", "C"},
    {"grad celsius", "C"},
    // A degree sign that some program could not read.
    {"\xEF\xBF\xBD\x63", "C"},
    {"?c", "C"},
    {"\xEF\xBF\xBD\x66", "F"},
    {"?f", "F"},
    {"f", "F"},
    {"°f", "F"},
    {"° f", "F"},
    {"℉", "F"},
    {"degf", "F"},
    {"deg f", "F"},
    {"degrees f", "F"},
    {"fahrenheit", "F"},
    {"degrees fahrenheit", "F"},
    {"k", "K"},
    {"kelvin", "K"},
    {"w", "W"},
    {"watt", "W"},
    {"watts", "W"},
    {"kw", "kW"},
    {"kilowatt", "kW"},
    {"mw", "mW"},
    {"milliwatt", "mW"},
    {"rpm", "rpm"},
    {"1/min", "rpm"},
    {"/min", "rpm"},
    {"min-1", "rpm"},
    {"min^-1", "rpm"},
    {"min⁻¹", "rpm"},
    {"u/min", "rpm"},
    {"upm", "rpm"},
    {"r/min", "rpm"},
    {"rev/min", "rpm"},
    {"1/s", "rps"},
    {"rps", "rps"},
    {"%", "%"},
    {"percent", "%"},
    {"per cent", "%"},
    {"pct", "%"},
    {"prozent", "%"},
    {"l/min", "L/min"},
    {"lpm", "L/min"},
    {"l/h", "L/h"},
    {"lph", "L/h"},
    {"ml/min", "mL/min"},
    {"ml/s", "mL/s"},
    {"l/s", "L/s"},
    {"m3/h", "m3/h"},
    {"m³/h", "m3/h"},
    {"gpm", "gpm"},
    {"dba", "dBA"},
    {"db(a)", "dBA"},
    {"db a", "dBA"},
    {"db", "dB"},
    {"s", "s"},
    {"sec", "s"},
    {"secs", "s"},
    {"second", "s"},
    {"seconds", "s"},
    {"sek", "s"},
    {"sekunden", "s"},
    {"ms", "ms"},
    {"msec", "ms"},
    {"milliseconds", "ms"},
    {"millisekunden", "ms"},
    {"min", "min"},
    {"mins", "min"},
    {"minutes", "min"},
    {"minuten", "min"},
    {"h", "h"},
    {"hr", "h"},
    {"hrs", "h"},
    {"hours", "h"},
    {"stunden", "h"},
    {"m", "m"},
    {"cm", "cm"},
    {"mm", "mm"},
    {"k/w", "K/W"},
};

constexpr std::array<Pair, 10> foldings{{{"Ä", "ae"},
                                         {"Ö", "oe"},
                                         {"Ü", "ue"},
                                         {"ä", "ae"},
                                         {"ö", "oe"},
                                         {"ü", "ue"},
                                         {"ß", "ss"},
                                         {"\xC2\xA0", " "},
                                         {"\xE2\x80\xAF", " "},
                                         {"\xC2\xBA", "°"}}};

bool is_upper(char c) { return c >= 'A' && c <= 'Z'; }

std::string_view without_brackets(std::string_view text) {
  text = trimmed(text);
  for (const std::string_view pair : {"[]", "()", "{}"}) {
    if (text.size() > 1 && text.front() == pair[0] && text.back() == pair[1]) {
      return trimmed(text.substr(1, text.size() - 2));
    }
  }
  return text;
}

}  // namespace

std::string folded(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t at = 0; at < text.size();) {
    const char c = text[at];
    if (static_cast<unsigned char>(c) < 0x80) {
      out += is_upper(c) ? static_cast<char>(c - 'A' + 'a') : c == '\t' || c == '\n' ? ' ' : c;
      ++at;
      continue;
    }
    const auto known = std::find_if(foldings.begin(), foldings.end(), [&](const Pair& pair) {
      return text.substr(at, pair.first.size()) == pair.first;
    });
    if (known == foldings.end()) {
      out += c;
      ++at;
    } else {
      out += known->second;
      at += known->first.size();
    }
  }
  return out;
}

std::string known_unit(std::string_view written) {
  if (written.size() > 40) return {};
  if (without_brackets(written) == "MW") return {};  // no milliwatt
  const std::string seen = folded(without_brackets(written));
  for (const auto& [spelling, unit] : spellings) {
    if (seen == spelling) return std::string(unit);
  }
  return {};
}

std::string near_unit(std::string_view written) {
  constexpr std::size_t longest = 12;
  if (written.size() > longest) return {};
  return text::did_you_mean(written, {"W", "kW", "mW", "K", "°C", "°F", "rpm", "rps", "L/min",
                                      "L/h", "mL/min", "m3/h", "dBA", "min", "ms"});
}

}  // namespace libloop::files
