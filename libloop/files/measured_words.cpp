#include "libloop/files/measured_words.hpp"

#include <array>
#include <set>

#include "libloop/files/tolerant_cells.hpp"
#include "libloop/files/tolerant_unit.hpp"

namespace libloop::files {
namespace {

struct Name {
  std::string_view words;  // folded, divided by one blank
  Column column;
};

// Words of the trade. Common practice, no source.
constexpr Name names[] = {
    {"cooler", Column::cooler},
    {"cooler title", Column::cooler},
    {"cooler name", Column::cooler},
    {"model", Column::cooler},
    {"title", Column::cooler},
    {"name", Column::cooler},
    {"kuehler", Column::cooler},
    {"modell", Column::cooler},
    {"load", Column::load},
    {"heat load", Column::load},
    {"heat", Column::load},
    {"power", Column::load},
    {"package power", Column::load},
    {"watt", Column::load},
    {"watts", Column::load},
    {"leistung", Column::load},
    {"waermelast", Column::load},
    {"last", Column::load},
    {"fan", Column::fan},
    {"fans", Column::fan},
    {"fan speed", Column::fan},
    {"fan share", Column::fan},
    {"fan duty", Column::fan},
    {"fan rpm", Column::fan},
    {"rpm", Column::fan},
    {"pwm", Column::fan},
    {"fan pwm", Column::fan},
    {"speed", Column::fan},
    {"fan setting", Column::fan},
    {"luefter", Column::fan},
    {"luefterdrehzahl", Column::fan},
    {"drehzahl", Column::fan},
    {"rise", Column::rise},
    {"temperature rise", Column::rise},
    {"temp rise", Column::rise},
    {"rise over ambient", Column::rise},
    {"temperature over ambient", Column::rise},
    {"over ambient", Column::rise},
    {"chip over ambient", Column::rise},
    {"delta t", Column::rise},
    {"deltat", Column::rise},
    {"delta", Column::rise},
    {"d t", Column::rise},
    {"dt", Column::rise},
    {"\xCE\x94t", Column::rise},  // Greek delta
    {"\xCE\x94 t", Column::rise},
    {"\xE2\x88\x86t", Column::rise},  // increment
    {"\xE2\x88\x86 t", Column::rise},
    {"uebertemperatur", Column::rise},
    {"erwaermung", Column::rise},
    {"chip", Column::chip},
    {"chip temperature", Column::chip},
    {"chip temp", Column::chip},
    {"cpu", Column::chip},
    {"cpu temperature", Column::chip},
    {"cpu temp", Column::chip},
    {"processor", Column::chip},
    {"processor temperature", Column::chip},
    {"package temperature", Column::chip},
    {"package temp", Column::chip},
    {"temperature", Column::chip},
    {"temp", Column::chip},
    {"chiptemperatur", Column::chip},
    {"temperatur", Column::chip},
    {"ambient", Column::ambient},
    {"ambient temperature", Column::ambient},
    {"ambient temp", Column::ambient},
    {"amb", Column::ambient},
    {"room", Column::ambient},
    {"room temperature", Column::ambient},
    {"room temp", Column::ambient},
    {"air in", Column::ambient},
    {"intake", Column::ambient},
    {"raumtemperatur", Column::ambient},
    {"umgebung", Column::ambient},
    {"umgebungstemperatur", Column::ambient},
    {"noise", Column::noise},
    {"noise level", Column::noise},
    {"sound", Column::noise},
    {"sound level", Column::noise},
    {"sound pressure level", Column::noise},
    {"level", Column::noise},
    {"spl", Column::noise},
    {"db", Column::noise},
    {"dba", Column::noise},
    {"db a", Column::noise},
    {"schallpegel", Column::noise},
    {"pegel", Column::noise},
    {"lautstaerke", Column::noise},
    {"mount", Column::mount},
    {"mounting", Column::mount},
    {"remount", Column::mount},
    {"montage", Column::mount},
    {"held", Column::held},
    {"gehalten", Column::held},
    {"throttled", Column::throttled},
    {"throttling", Column::throttled},
    {"gedrosselt", Column::throttled},
    {"settled", Column::settled},
    {"steady", Column::settled},
    {"eingeschwungen", Column::settled},
    {"beharrung", Column::settled},
    {"price", Column::price},
    {"cost", Column::price},
    {"preis", Column::price},
    {"date", Column::date},
    {"day", Column::date},
    {"datum", Column::date},
    {"u", Column::u},
    {"standard uncertainty", Column::u},
    {"u rise", Column::u},
    {"expanded uncertainty", Column::expanded_u},
    {"background", Column::background},
    {"background level", Column::background},
    {"background noise", Column::background},
    {"hintergrund", Column::background},
    {"hintergrundpegel", Column::background},
    {"distance", Column::distance},
    {"microphone distance", Column::distance},
    {"abstand", Column::distance},
    {"entfernung", Column::distance},
};

std::optional<Column> by_words(std::string_view name) {
  std::string joined;
  for (const std::string& one : words_of(name)) joined += (joined.empty() ? "" : " ") + one;
  for (const Name& known : names) {
    if (joined == known.words) return known.column;
  }
  return std::nullopt;
}

}  // namespace

std::string_view word(Column column) {
  constexpr std::array<std::string_view, 17> words = {
      "cooler",     "load",    "fan",   "rise", "chip temperature",
      "ambient",    "noise",   "mount", "held", "throttled",
      "settled",    "price",   "date",  "u",    "expanded uncertainty",
      "background", "distance"};
  return words[static_cast<std::size_t>(column)];
}

std::string_view usual_unit(Column column) {
  switch (column) {
    case Column::load:
      return "W";
    case Column::rise:
    case Column::u:
    case Column::expanded_u:
      return "K";
    case Column::chip:
    case Column::ambient:
      return "C";
    case Column::noise:
    case Column::background:
      return "dBA";
    case Column::distance:
      return "m";
    default:
      return {};
  }
}

std::optional<Column> column_named(std::string_view heading) {
  const std::string_view all = trimmed(heading);
  const NamedUnit parts = heading_unit(all);
  // Capital: the expanded uncertainty (GUM, 6.2.1).
  const std::string_view bare = trimmed(parts.name);
  if (bare == "U" || bare == "+-" || bare == "+/-" || bare == "\xC2\xB1") {
    return Column::expanded_u;
  }
  // A heading may be nothing but a unit that speaks for itself.
  if (bare.empty() && parts.unit == "rpm") return Column::fan;
  if (bare.empty() && (parts.unit == "dBA" || parts.unit == "dB")) return Column::noise;
  if (bare.empty() && parts.unit == "W") return Column::load;
  if (const std::optional<Column> found = by_words(parts.name)) return found;
  if (const std::optional<Column> found = by_words(all)) return found;
  // "Price [EUR]": a currency is no unit that heading_unit knows.
  const std::vector<std::string> words = words_of(all);
  const bool priced = !words.empty() && by_words(words.front()) == Column::price;
  return priced ? std::optional(Column::price) : std::nullopt;
}

std::vector<std::string> column_names() {
  std::set<std::string> all;
  for (const Name& name : names) all.emplace(name.words);
  return {all.begin(), all.end()};
}

}  // namespace libloop::files
