#include "libloop/report/chart_words.hpp"

#include <array>
#include <cstddef>

namespace libloop::report {
namespace {

struct Entry {
  Word word;
  std::string_view english, german;
};

constexpr std::array<Entry, static_cast<std::size_t>(Word::count)> entries = {{
    {Word::rise_axis, "Rise over ambient, K", "Übertemperatur gegen Umgebung, K"},
    {Word::level_axis, "Noise, dBA", "Schallpegel, dB(A)"},
    {Word::chip_axis, "Chip temperature, °C", "Chiptemperatur, °C"},
    {Word::seconds_axis, "Time, s", "Zeit, s"},
    {Word::minutes_axis, "Time, min", "Zeit, min"},
    {Word::hours_axis, "Time, h", "Zeit, h"},
    {Word::kelvin, "{} K", "{} K"},
    {Word::kelvin_with_doubt, "{} ± {} K", "{} ± {} K"},
    {Word::decibel, "{} dBA", "{} dB(A)"},
    {Word::at_least, "≥ {}", "≥ {}"},
    {Word::at_most, "≤ {}", "≤ {}"},
    {Word::celsius, "{} °C", "{} °C"},
    {Word::watt, "{} W", "{} W"},
    {Word::percent, "{} %", "{} %"},
    {Word::speed, "{} rpm", "{} 1/min"},
    {Word::rise_title, "Rise over ambient at {}", "Übertemperatur bei {}"},
    {Word::noise_title, "Noise at {}", "Schallpegel bei {}"},
    {Word::curve_title, "Rise over ambient against noise at {}",
     "Übertemperatur über dem Schallpegel bei {}"},
    {Word::rise_log_title, "Rise over ambient by time", "Übertemperatur im Verlauf der Zeit"},
    {Word::chip_log_title, "Chip temperature by time", "Chiptemperatur im Verlauf der Zeit"},
    {Word::full_fans, "fans at their fastest measured speed",
     "Lüfter bei höchster gemessener Drehzahl"},
    {Word::fans_at, "fans at {}", "Lüfter bei {}"},
    {Word::noise_at, "equal noise of {}", "gleicher Schallpegel von {}"},
    {Word::rise_at, "equal rise of {}", "gleiche Übertemperatur von {}"},
    {Word::lower_is_better, "further left is better", "weiter links ist besser"},
    {Word::down_left_is_better, "further down and further left is better",
     "weiter unten und weiter links ist besser"},
    {Word::load, "load", "Last"},
    {Word::fans, "fans", "Lüfter"},
    {Word::pump, "pump", "Pumpe"},
    {Word::more, "and {} more", "und {} weitere"},
    {Word::more_left_out, "And {} more that are not drawn.", "Und {} weitere, nicht gezeichnet."},
    {Word::no_value, "No value here: {}.", "Hier ohne Wert: {}."},
    {Word::predicted, "{} (predicted)", "{} (berechnet)"},
    {Word::bar_note,
     "Bars: 5 to 95 % of each cooler's own doubt; what all share on one bench is left out.",
     "Balken: 5 bis 95 % der eigenen Unsicherheit; was am selben Prüfstand alle teilen, fehlt."},
    {Word::bracket_note, "Bracket: not told apart from the best of it.",
     "Klammer: vom Besten darin nicht zu unterscheiden."},
    {Word::bound_note, "Arrow: the true value lies that way.",
     "Pfeil: der wahre Wert liegt in dieser Richtung."},
    {Word::beyond_note, "Hollow: a bound, or read beyond the measured points.",
     "Hohl: eine Grenze oder jenseits der Messpunkte abgelesen."},
    {Word::measured_note, "Dots: measured, bars 5 to 95 %. Lines: read between them.",
     "Punkte: gemessen, Balken 5 bis 95 %. Linien: dazwischen abgelesen."},
    {Word::predicted_note, "Hollow: predicted.", "Hohl: berechnet."},
    {Word::no_room, "Not drawn for want of room: {}.", "Aus Platzmangel nicht gezeichnet: {}."},
    {Word::and_more, "{} and {} more", "{} und {} weitere"},
    {Word::value_no_room, "Values without room beside their step are left out.",
     "Werte ohne Platz bei ihrem Abschnitt fehlen."},
    {Word::window_note, "Shaded: steady windows and their means.",
     "Hinterlegt: ruhige Abschnitte und ihr Mittelwert."},
    {Word::unsettled_note, "Dashed: not settled.", "Gestrichelt: nicht eingelaufen."},
    {Word::strip_note, "Strip: 95 %.", "Streifen: 95 %."},
    {Word::strip_doubt_note, "Strip and ±: 95 %.", "Streifen und ±: 95 %."},
    {Word::thinned_note, "Lowest and highest reading of each pixel.",
     "Kleinster und größter Wert je Bildpunktspalte."},
    {Word::forecast_note, "Band: forecast, 5 to 95 %.", "Band: Vorhersage, 5 bis 95 %."},
    {Word::creeping, "creeping {} K/min", "driftet um {} K/min"},
    {Word::per_minute, "{} K/min", "{} K/min"},
    {Word::throttled, "power sags", "Leistung fällt ab"},
    {Word::settles, "settles at {}", "Endwert {}"},
    {Word::between, "{} to {}", "{} bis {}"},
    {Word::allowance, "up to {} with slow parts", "bis {} mit trägen Teilen"},
    {Word::allowance_down, "down to {} with slow parts", "hinab bis {} mit trägen Teilen"},
}};

}  // namespace

std::string_view pattern(Language language, Word word) {
  for (const Entry& entry : entries) {
    if (entry.word == word) return language == Language::german ? entry.german : entry.english;
  }
  return {};
}

std::string say(Language language, Word word, const std::vector<std::string>& values) {
  std::string_view rest = pattern(language, word);
  std::string out;
  for (const std::string& value : values) {
    const std::size_t at = rest.find("{}");
    if (at == std::string_view::npos) break;
    out += rest.substr(0, at);
    out += value;
    rest.remove_prefix(at + 2);
  }
  return out += rest;
}

}  // namespace libloop::report
