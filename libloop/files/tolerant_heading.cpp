#include <cctype>
#include <optional>
#include <utility>

#include "libloop/files/tolerant_cells.hpp"
#include "libloop/files/tolerant_unit.hpp"

namespace libloop::files {
namespace {

constexpr std::size_t longest_heading = 200;

bool is_letter(char c) { return std::isalpha(static_cast<unsigned char>(c)) != 0; }
bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_upper(char c) { return c >= 'A' && c <= 'Z'; }

std::optional<NamedUnit> named(std::string_view name, std::string_view unit) {
  std::string known = known_unit(unit);
  if (known.empty()) return std::nullopt;
  return NamedUnit{std::string(trimmed(name)), std::move(known)};
}

// "Load [W]", "Level (dB(A))"
std::optional<NamedUnit> in_brackets(std::string_view heading) {
  if (heading.empty()) return std::nullopt;
  for (const std::string_view pair : {"[]", "()", "{}"}) {
    if (heading.back() != pair[1]) continue;
    int depth = 0;
    for (std::size_t at = heading.size(); at-- > 0;) {
      if (heading[at] == pair[1]) ++depth;
      if (heading[at] == pair[0] && --depth == 0) {
        return named(heading.substr(0, at), heading.substr(at + 1, heading.size() - at - 2));
      }
    }
  }
  return std::nullopt;
}

// "T_amb/°C", "Load in W", "CPU temp, C", "fan_rpm", "Level dBA"
std::optional<NamedUnit> behind(std::string_view heading) {
  const std::string lower = folded(heading);
  if (lower.size() != heading.size()) {
    // Umlauts were written out: then places differ, and only what is folded can be cut.
    return lower.size() > longest_heading ? std::nullopt : behind(lower);
  }
  for (std::size_t at = 1; at < heading.size(); ++at) {
    const char mark = heading[at];
    if (mark != '/' && mark != ' ' && mark != '_' && mark != ',' && mark != '-') continue;
    const std::string_view unit = trimmed(heading.substr(at + 1));
    std::string_view name = trimmed(heading.substr(0, at));
    const std::string_view start = std::string_view(lower).substr(0, name.size());
    // A letter alone may be a name: "Sensor F" is no temperature in F for sure.
    const bool alone = unit.size() == 1 && (mark == ' ' || mark == '_' || mark == '-');
    const bool doubtful = alone && (unit[0] == 'F' || unit[0] == 'f' || unit[0] == 'K' ||
                                    unit[0] == 'k' || unit[0] == 'h' || unit[0] == 'm');
    if (doubtful && start.find("temp") == std::string_view::npos) continue;
    if (std::optional<NamedUnit> found = named(name, unit)) {
      for (const std::string_view tail : {",", ":", " in"}) {
        const std::size_t size = found->name.size();
        if (size > tail.size() && found->name.compare(size - tail.size(), tail.size(), tail) == 0) {
          found->name = trimmed(std::string_view(found->name).substr(0, size - tail.size()));
        }
      }
      return found;
    }
  }
  return std::nullopt;
}

}  // namespace

NamedUnit heading_unit(std::string_view heading) {
  heading = trimmed(heading);
  NamedUnit plain{std::string(heading), {}};
  if (heading.size() > longest_heading) return plain;
  if (const std::optional<NamedUnit> found = in_brackets(heading)) return *found;
  if (const std::optional<NamedUnit> found = behind(heading)) return *found;
  // A heading that is a unit and nothing else, of more than one letter: "rpm", "°C", "dBA".
  const std::string unit = known_unit(heading);
  if (!unit.empty() && (heading.size() > 1 || heading == "%")) return {"", unit};
  return plain;
}

std::vector<std::string> words_of(std::string_view heading) {
  std::vector<std::string> words;
  std::string word;
  const auto end = [&] {
    if (!word.empty()) words.push_back(folded(word));
    word.clear();
  };
  heading = heading.substr(0, longest_heading);
  for (std::size_t i = 0; i < heading.size(); ++i) {
    const char c = heading[i];
    const bool other = static_cast<unsigned char>(c) >= 0x80;
    if (!is_letter(c) && !is_digit(c) && !other && c != '%') {
      end();
      continue;
    }
    const char last = word.empty() ? '\0' : word.back();
    const bool hump = is_upper(c) && is_letter(last) && !is_upper(last);
    // "CPUTemp": the last capital belongs to what follows.
    const bool tail = is_upper(c) && is_upper(last) && i + 1 < heading.size() &&
                      heading[i + 1] >= 'a' && heading[i + 1] <= 'z';
    if (hump || tail || (last != '\0' && is_digit(c) != is_digit(last))) end();
    word += c;
  }
  end();
  return words;
}

}  // namespace libloop::files
