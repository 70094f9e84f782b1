#include <algorithm>
#include <cctype>
#include <cstdint>
#include <optional>
#include <utility>

#include "libloop/base/error.hpp"
#include "libloop/files/log_roles.hpp"
#include "libloop/files/tolerant_cells.hpp"
#include "libloop/files/tolerant_unit.hpp"
#include "libloop/quantity/unit.hpp"

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

// Kilojoules a second and the like: what quantity/unit reads, for what a log measures. "(in)" is a
// side of the radiator, no inch.
std::string composed_unit(std::string_view written) {
  if (written.size() < 2 || written.size() > 20 || written == "in") return {};
  if (roles_of(words_of(written)) & ~role::other) return {};
  try {
    parse_unit(written);
    return std::string(written);
  } catch (const InputError&) {
    return {};
  }
}

struct Bracketed {
  std::string_view name, inside;
  char open = '[';
};

std::optional<Bracketed> brackets_of(std::string_view heading) {
  if (heading.empty()) return std::nullopt;
  for (const std::string_view pair : {"[]", "()", "{}"}) {
    if (heading.back() != pair[1]) continue;
    int depth = 0;
    for (std::size_t at = heading.size(); at-- > 0;) {
      if (heading[at] == pair[1]) ++depth;
      if (heading[at] == pair[0] && --depth == 0) {
        return Bracketed{trimmed(heading.substr(0, at)),
                         trimmed(heading.substr(at + 1, heading.size() - at - 2)), pair[0]};
      }
    }
  }
  return std::nullopt;
}

// "Load [W]", "Level (dB(A))"
std::optional<NamedUnit> in_brackets(std::string_view heading) {
  const std::optional<Bracketed> found = brackets_of(heading);
  if (!found) return std::nullopt;
  if (auto known = named(found->name, found->inside)) return known;
  std::string composed = composed_unit(found->inside);
  if (composed.empty()) return std::nullopt;
  return NamedUnit{std::string(found->name), std::move(composed)};
}

// Where "x100", "* 10" or "/10" begins at the end of a heading; npos without one.
std::size_t factor_at(std::string_view heading) {
  std::size_t at = heading.size();
  while (at > 0 && heading[at - 1] == '0') --at;
  if (at == heading.size() || at == 0 || heading[at - 1] != '1') return std::string_view::npos;
  std::string_view before = trimmed(heading.substr(0, at - 1));
  for (const std::string_view mark : {"x", "X", "*", "/", "\xC3\x97", "\xC2\xB7"}) {
    if (before.size() <= mark.size()) continue;
    const std::size_t start = before.size() - mark.size();
    if (before.substr(start) == mark && (before[start - 1] == ' ' || before[start - 1] == '_')) {
      return start;
    }
  }
  return std::string_view::npos;
}

// Whether what stands in brackets is meant as a unit. Square ones hold units, unless a figure, a
// mark or a word of the trade; in others, which hold remarks as well, only what is built as a unit.
bool meant_as_unit(const Bracketed& found) {
  const std::string_view inside = found.inside;
  if (inside.empty() || inside[0] == '#' || is_digit(inside[0])) return false;
  if (roles_of(words_of(inside))) return false;
  if (found.open == '[') return true;
  const bool prefixed =
      inside.size() > 1 && std::string_view("mkMun").find(inside[0]) != std::string_view::npos;
  return prefixed && !known_unit(inside.substr(1)).empty();
}

// Of these a letter alone is a unit: "chip F", "rise K". Of others it may be a name: "Sensor F".
bool is_temperature(std::string_view name) {
  constexpr std::uint32_t places =
      role::chip | role::ambient | role::coolant | role::temperature | role::air;
  const std::vector<std::string> words = words_of(name);
  if (roles_of(words) & places) return true;
  return std::any_of(words.begin(), words.end(), [](const std::string& word) {
    return word == "rise" || word == "delta" || word == "dt" || word == "u" ||
           word == "uncertainty" || word == "inlet";
  });
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
    // A letter alone may be a name: "Sensor F" is no temperature in F for sure.
    const bool alone = unit.size() == 1 && (mark == ' ' || mark == '_' || mark == '-');
    const bool doubtful = alone && (unit[0] == 'F' || unit[0] == 'f' || unit[0] == 'K' ||
                                    unit[0] == 'k' || unit[0] == 'h' || unit[0] == 'm');
    const bool temperature = doubtful && unit[0] != 'h' && unit[0] != 'm' && is_temperature(name);
    if (doubtful && !temperature) continue;
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
  Unread unread = unread_unit(heading);
  plain.unread = std::move(unread.unit);
  plain.bare = std::move(unread.bare);
  return plain;
}

Unread unread_unit(std::string_view heading) {
  heading = trimmed(heading);
  if (heading.size() > longest_heading) return {};
  const std::optional<Bracketed> found = brackets_of(heading);
  if (found) {
    const bool factor = factor_at("1 " + std::string(found->inside)) != std::string::npos;
    if (!factor && !meant_as_unit(*found)) return {};
    return {std::string(found->name), std::string(found->inside)};
  }
  const std::size_t at = factor_at(heading);
  if (at == std::string_view::npos) return {};
  const NamedUnit before = heading_unit(heading.substr(0, at));
  const std::string factor(heading.substr(at));
  return {before.name, before.unit.empty() ? factor : before.unit + ' ' + factor};
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
