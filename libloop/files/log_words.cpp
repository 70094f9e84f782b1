#include "libloop/files/log_words.hpp"

#include <algorithm>
#include <string_view>

#include "libloop/files/log_roles.hpp"

namespace libloop::files {
namespace {

using namespace role;

struct Word {
  std::string_view word;
  std::uint32_t roles;
};

// Words of the trade, folded (umlauts written out). Common practice, no source.
constexpr Word table[] = {
    // places
    {"cpu", chip},
    {"gpu", chip},
    {"processor", chip},
    {"prozessor", chip},
    {"package", chip},
    {"die", chip},
    {"hotspot", chip},
    {"junction", chip},
    {"chip", chip},
    {"core", chip},
    {"cores", chip},
    {"kern", chip},
    {"kerne", chip},
    {"tj", chip | temperature},
    {"tchip", chip | temperature},
    {"tcpu", chip | temperature},
    {"ambient", ambient},
    {"amb", ambient},
    {"tamb", ambient | temperature},
    {"tambient", ambient | temperature},
    {"room", ambient},
    {"raum", ambient},
    {"umgebung", ambient},
    {"umgebungs", ambient},
    {"intake", ambient},
    {"ansaugluft", ambient},
    {"zuluft", ambient},
    {"coolant", coolant},
    {"liquid", coolant},
    {"water", coolant},
    {"fluid", coolant},
    {"kuehlmittel", coolant},
    {"kuehlwasser", coolant},
    {"kuehlfluessigkeit", coolant},
    {"fluessigkeit", coolant},
    {"wasser", coolant},
    {"hot", hot},
    {"warm", hot},
    {"heiss", hot},
    {"cold", cold},
    {"kalt", cold},
    {"radiator", radiator},
    {"rad", radiator},
    {"plate", plate},
    {"block", plate},
    {"kuehlplatte", plate},
    {"in", in},
    {"inlet", in},
    {"eintritt", in},
    {"ein", in},
    {"out", out},
    {"outlet", out},
    {"austritt", out},
    {"aus", out},
    {"exhaust", air | out},
    {"abluft", air | out},
    {"air", air},
    {"luft", air},
    // machines
    {"fan", fan},
    {"fans", fan},
    {"luefter", fan},
    {"ventilator", fan},
    {"ventilatoren", fan},
    {"pump", pump},
    {"pumpe", pump},
    {"pumpen", pump},
    // what is measured
    {"temp", temperature},
    {"temps", temperature},
    {"temperature", temperature},
    {"temperatures", temperature},
    {"temperatur", temperature},
    {"power", power},
    {"watt", power},
    {"watts", power},
    {"wattage", power},
    {"leistung", power},
    {"leistungsaufnahme", power},
    {"load", load},
    {"last", load},
    {"heat", load},
    {"heater", load},
    {"waerme", load},
    {"heizer", load},
    {"heiz", load},
    {"heizung", load},
    {"verlust", load},
    {"dissipation", load},
    {"preset", preset},
    {"setpoint", preset},
    {"set", preset},
    {"target", preset},
    {"command", preset},
    {"commanded", preset},
    {"soll", preset},
    {"sollwert", preset},
    {"vorgabe", preset},
    {"speed", speed},
    {"rpm", speed},
    {"drehzahl", speed},
    {"revolutions", speed},
    {"duty", share},
    {"pwm", share},
    {"percent", share},
    {"prozent", share},
    {"%", share},
    {"share", share},
    {"flow", flow},
    {"flowrate", flow},
    {"durchfluss", flow},
    {"volumenstrom", flow},
    {"sound", sound},
    {"noise", sound},
    {"spl", sound},
    {"level", neutral},
    {"pegel", sound},
    {"schall", sound},
    {"schallpegel", sound},
    {"schalldruckpegel", sound},
    {"laerm", sound},
    // time
    {"time", time},
    {"zeit", time},
    {"timestamp", time},
    {"zeitstempel", time},
    {"datetime", time},
    {"elapsed", time},
    {"uhrzeit", time},
    {"seconds", time},
    {"sekunden", time},
    {"date", date},
    {"datum", date},
    // what makes it another thing
    {"clock", other},
    {"frequency", other},
    {"freq", other},
    {"takt", other},
    {"mhz", other},
    {"khz", other},
    {"kb", other},
    {"mb", other},
    {"gb", other},
    {"fps", other},
    {"kv", other},
    {"ghz", other},
    {"hz", other},
    {"volt", other},
    {"volts", other},
    {"voltage", other},
    {"spannung", other},
    {"v", other},
    {"mv", other},
    {"current", other},
    {"strom", other},
    {"amps", other},
    {"ma", other},
    {"a", other},
    {"usage", other},
    {"utilization", other},
    {"utilisation", other},
    {"auslastung", other},
    {"limit", other},
    {"grenze", other},
    {"distance", other},
    {"delta", other},
    {"rise", other},
    {"difference", other},
    {"diff", other},
    {"over", other},
    {"above", other},
    {"minus", other},
    {"pressure", other},
    {"druck", other},
    {"humidity", other},
    {"feuchte", other},
    {"interval", other},
    {"intervall", other},
    {"vrm", other},
    {"memory", other},
    {"ram", other},
    {"ssd", other},
    {"energy", other},
    {"energie", other},
    {"kwh", other},
    {"wh", other},
    {"hysteresis", other},
};

std::uint32_t roles_of_word(std::string_view word) {
  const auto found = std::find_if(std::begin(table), std::end(table),
                                  [&](const Word& known) { return known.word == word; });
  return found == std::end(table) ? 0 : found->roles;
}

// "raumtemperatur", "fanspeed", "pumpendrehzahl": two words in one, perhaps with a linking s or n.
std::uint32_t roles_of_compound(std::string_view word) {
  constexpr std::size_t shortest = 3;
  for (std::size_t cut = word.size(); cut-- > shortest;) {
    if (word.size() - cut < shortest) continue;
    const std::uint32_t tail = roles_of_word(word.substr(cut));
    if (tail == 0) continue;
    std::string_view start = word.substr(0, cut);
    if (const std::uint32_t roles = roles_of_word(start)) return roles | tail;
    if (start.size() > shortest && (start.back() == 's' || start.back() == 'n')) {
      start.remove_suffix(1);
      if (const std::uint32_t roles = roles_of_word(start)) return roles | tail;
    }
    if (start.size() > shortest) {
      if (const std::uint32_t roles = roles_of_compound(start)) return roles | tail;
    }
  }
  return 0;
}

}  // namespace

std::uint32_t roles_of(const std::vector<std::string>& words) {
  std::uint32_t roles = 0;
  for (std::size_t i = 0; i < words.size(); ++i) {
    const std::string& word = words[i];
    const bool spot = word == "spot" && i > 0 && words[i - 1] == "hot";
    std::uint32_t here = spot ? chip : roles_of_word(word);
    if (word == "hot" && i + 1 < words.size() && words[i + 1] == "spot") here = chip;
    if (here == 0 && word.size() >= 6) here = roles_of_compound(word);
    roles |= here;
  }
  return roles;
}

std::vector<std::string> usual_headings() {
  return {
      "chip",        "CPU temperature", "ambient",   "room temperature", "load",       "power",
      "preset",      "set power",       "fan speed", "fan duty",         "pump speed", "coolant",
      "coolant hot", "coolant cold",    "flow",      "sound level",      "time",       "date"};
}

}  // namespace libloop::files
