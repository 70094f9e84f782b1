#include "libloop/base/error.hpp"
#include "libloop/files/log_roles.hpp"
#include "libloop/files/log_words.hpp"
#include "libloop/quantity/unit.hpp"

namespace libloop::files {
namespace {

using namespace role;

Measure measure_of(std::uint32_t roles) {
  if (roles & temperature) return Measure::temperature;
  if (roles & share) return Measure::share;
  if (roles & speed) return Measure::speed;
  if (roles & flow) return Measure::flow;
  if (roles & sound) return Measure::sound;
  if (roles & power) return Measure::power;
  return Measure::unknown;
}

Meaning of(Channel channel) { return {Meaning::Kind::channel, channel, false}; }

Meaning machine(Channel by_speed, Channel by_share, Measure measure, std::uint32_t roles) {
  if (measure == Measure::share) return of(by_share);
  // "Fan speed" may be in per cent; "rpm" in the name says what it is.
  if (measure == Measure::speed || measure == Measure::unknown) {
    return {Meaning::Kind::speed, by_speed, false};
  }
  if (measure == Measure::flow && (roles & pump)) return of(Channel::flow);
  return {};
}

Meaning of_coolant(std::uint32_t roles) {
  const bool to_radiator =
      (roles & hot) || ((roles & radiator) && (roles & in)) || ((roles & plate) && (roles & out));
  const bool from_radiator =
      (roles & cold) || ((roles & radiator) && (roles & out)) || ((roles & plate) && (roles & in));
  if (to_radiator && from_radiator) return {};
  return of(to_radiator     ? Channel::coolant_hot
            : from_radiator ? Channel::coolant_cold
                            : Channel::coolant);
}

Meaning of_power(std::uint32_t roles) {
  const bool named = roles & (load | power | preset | chip);
  if (!named || (roles & (ambient | coolant | fan | pump))) return {};
  return of(roles & preset ? Channel::preset : Channel::load);
}

Meaning of_temperature(std::uint32_t roles) {
  if (roles & (preset | fan | pump)) return {};
  if (roles & coolant) return roles & (chip | ambient) ? Meaning{} : of_coolant(roles);
  const bool air_in = (roles & air) && (roles & in) && !(roles & out);
  if ((roles & ambient) || air_in) return roles & chip ? Meaning{} : of(Channel::ambient);
  return roles & chip ? of(Channel::chip) : Meaning{};
}

// "air", "Luft", "inlet", "inlet air temperature", and nothing else: what the radiator draws in.
bool is_inlet_air(const std::vector<std::string>& words) {
  bool told = false;
  for (const std::string& word : words) {
    const std::uint32_t roles = roles_of({word});
    if (roles == 0 || (roles & ~(air | in | temperature))) return false;
    told = told || (roles & air) || word == "inlet";
  }
  return told;
}

Meaning by_measure(Measure measure, std::uint32_t roles) {
  switch (measure) {
    case Measure::temperature:
      return of_temperature(roles);
    case Measure::power:
      return of_power(roles);
    case Measure::flow:
      return roles & air ? Meaning{} : of(Channel::flow);
    case Measure::sound:
      return of(Channel::sound);
    case Measure::unknown:
      if (roles & load || roles & preset) return of_power(roles);
      return of_temperature(roles);
    default:
      return {};
  }
}

// What is told of a place or a machine is no time, as in "fan on time [s]".
constexpr std::uint32_t measured = chip | ambient | coolant | fan | pump | load | preset |
                                   temperature | power | flow | sound | air;

bool is_bare_time(const std::vector<std::string>& words) {
  return words.size() == 1 && (words[0] == "t" || words[0] == "clock");
}

bool counts_time(const std::vector<std::string>& words, std::uint32_t roles, Measure measure) {
  if ((roles & measured) || (measure != Measure::unknown && measure != Measure::time)) return false;
  const bool only_unit = words.empty() && measure == Measure::time;
  return (roles & (time | date)) || is_bare_time(words) || only_unit;
}

bool same_dimension(const Unit& unit, std::string_view other_unit) {
  return unit.dimension == parse_unit(other_unit).dimension;
}

}  // namespace

Measure measure_of_unit(std::string_view unit) {
  if (unit.empty()) return Measure::unknown;
  if (unit == "%") return Measure::share;
  try {
    const Unit parsed = parse_unit(unit);
    if (same_dimension(parsed, "C") || same_dimension(parsed, "K")) return Measure::temperature;
    if (same_dimension(parsed, "W")) return Measure::power;
    if (same_dimension(parsed, "rpm")) return Measure::speed;
    if (same_dimension(parsed, "L/min")) return Measure::flow;
    if (same_dimension(parsed, "dBA")) return Measure::sound;
    if (same_dimension(parsed, "s")) return Measure::time;
  } catch (const InputError&) {
    return Measure::other;
  }
  return Measure::other;
}

std::optional<Channel> channel_called(std::string_view word) {
  for (const DeclaredChannel& one : channels()) {
    if (one.name == word) return one.channel;
  }
  return std::nullopt;
}

Meaning meaning_of(std::string_view name, Measure measure) {
  const std::vector<std::string> words = words_of(name);
  const std::uint32_t roles = roles_of(words);
  if (measure == Measure::other || ((roles & other) && !is_bare_time(words))) return {};
  if (counts_time(words, roles, measure)) {
    return {roles & date && !(roles & time) ? Meaning::Kind::date : Meaning::Kind::time, {}, false};
  }
  if (measure == Measure::time) return {};
  if (measure == Measure::unknown) measure = measure_of(roles);
  Meaning meaning;
  if (roles & pump) {
    meaning = machine(Channel::pump_speed, Channel::pump_share, measure, roles);
  } else if (roles & fan) {
    meaning = machine(Channel::fan_speed, Channel::fan_share, measure, roles);
  } else {
    meaning = by_measure(measure, roles);
    const bool warmth = measure == Measure::unknown || measure == Measure::temperature;
    if (warmth && is_inlet_air(words)) meaning = of(Channel::ambient);
  }
  const std::optional<Channel> called = channel_called(folded(name));
  meaning.exact = called && meaning.kind == Meaning::Kind::channel && *called == meaning.channel;
  return meaning;
}

Meaning meaning_of_heading(std::string_view heading, const NamedUnit& named) {
  const Measure measure = measure_of_unit(named.unit);
  const Meaning meaning = meaning_of(named.name, measure);
  const bool whole = meaning.kind == Meaning::Kind::none && named.name.empty();
  return whole ? meaning_of(heading, measure) : meaning;
}

bool is_log_heading(std::string_view name) {
  const std::vector<std::string> words = words_of(name);
  return is_bare_time(words) || (roles_of(words) & (measured | speed | time | date)) != 0;
}

}  // namespace libloop::files
