#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "libloop/base/text.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/warmup_owners.hpp"
#include "libloop/report/warmup_sections.hpp"
#include "libloop/report/warmup_words.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

constexpr double least_part = 0.02;    // K, in reading or coolant, to be shown
constexpr std::size_t most_modes = 5;  // of a point in full
constexpr std::size_t most_short = 3;  // of a point in one line

std::vector<const SlowMode*> shown(const SlowModes& slow, std::size_t most) {
  std::vector<const SlowMode*> all;
  for (const SlowMode& mode : slow.modes) {
    const bool seen =
        std::abs(mode.amplitude) >= least_part || std::abs(mode.coolant_amplitude) >= least_part;
    if (seen && all.size() < most) all.push_back(&mode);
  }
  return all;
}

// How long a mode alone holds the reading out of a band.
double holds(const SlowMode& mode, double band) {
  const double size = std::abs(mode.amplitude);
  return size > band ? mode.time_constant * std::log(size / band) : 0.0;
}

// Those that hold the reading longest out of the narrowest band, the slowest first.
std::vector<const SlowMode*> owned(const std::vector<const SlowMode*>& modes, double narrowest) {
  constexpr std::size_t most = 3;
  std::vector<const SlowMode*> all;
  for (const SlowMode* mode : modes) {
    if (holds(*mode, narrowest) > 0.0) all.push_back(mode);
  }
  std::stable_sort(all.begin(), all.end(), [&](const SlowMode* a, const SlowMode* b) {
    return holds(*a, narrowest) > holds(*b, narrowest);
  });
  all.resize(std::min(all.size(), most));
  std::stable_sort(all.begin(), all.end(), [](const SlowMode* a, const SlowMode* b) {
    return a->time_constant > b->time_constant;
  });
  return all;
}

// The mode that ends the wait for a band; null when none reaches it.
const SlowMode* last_to_leave(const SlowModes& slow, double band) {
  const SlowMode* found = nullptr;
  for (const SlowMode& mode : slow.modes) {
    const double best = found == nullptr ? 0.0 : holds(*found, band);
    if (holds(mode, band) > best) found = &mode;
  }
  return found;
}

std::string constant(const SlowMode& mode) { return text::number(mode.time_constant, 3) + " s"; }

std::string part(double kelvins) {
  const std::string cell = fmt::format("{:.2f}", kelvins);
  return cell == "-0.00" ? "0.00" : cell;
}

std::string modes_table(const std::vector<const SlowMode*>& modes) {
  const bool swings =
      std::any_of(modes.begin(), modes.end(), [](const SlowMode* m) { return m->period > 0.0; });
  TextTable table;
  table.column("time\nconstant", "s");
  table.column("missing in\nreading", "K");
  table.column("missing in\ncoolant", "K");
  if (swings) table.column("swings\nevery", "s");
  for (const SlowMode* mode : modes) {
    std::vector<std::string> cells = {text::number(mode->time_constant, 3), part(mode->amplitude),
                                      part(mode->coolant_amplitude)};
    if (swings) cells.push_back(mode->period > 0.0 ? text::number(mode->period, 3) : "");
    table.row(std::move(cells));
  }
  return table.text();
}

std::string owners_of(const SlowMode& mode) {
  if (mode.stores.empty() || mode.carries.empty()) return {};
  return paragraph("  ", "Owners of " + constant(mode)) +
         paragraph("    store    ", store_words(mode)) +
         paragraph("    carry    ", carry_words(mode));
}

std::string signs() {
  return paragraph(
      "  ",
      "Missing: how far the mode keeps the value below its settled one when the wait begins; "
      "minus: "
      "above it; of a mode that swings, how far to either side. In every time constant 63 % of it "
      "goes. Owners: by how many per cent the time constant moves when one of them grows by one "
      "per cent. What stores heat lengthens it, what carries heat shortens it; a minus turns this "
      "round, as for leakage, which lengthens it.");
}

std::string end_of_wait(const WarmupPrediction& prediction, const WarmupPoint& point) {
  const double band = prediction.bands[first_band(prediction)];
  const SlowMode* const mode = last_to_leave(point.slow, band);
  if (mode == nullptr) return {};
  const std::string owners = owner_sentences(*mode);
  return paragraph("  ",
                   fmt::format("The mode of {} decides the wait for {} K{}{}", constant(*mode),
                               text::number(band, 3), owners.empty() ? "." : ". ", owners));
}

// How well the sum of all modes does for the warm-up itself.
std::string fit(const SlowModes& slow) {
  const std::string later = slow.error_after_minute
                                ? fmt::format(", and by {} K at most from one minute on",
                                              text::number(*slow.error_after_minute, 2))
                                : std::string();
  return paragraph(
      "  ",
      fmt::format("Exponentials alone: the sum of all modes is off the full warm-up by {} K at "
                  "most, {} after the last change{}.",
                  text::number(slow.worst_error, 2), time_words(slow.worst_error_time), later));
}

std::string full(const Model& model, const WarmupPrediction& prediction, const WarmupPoint& point) {
  const std::vector<const SlowMode*> modes = shown(point.slow, most_modes);
  std::string out =
      '\n' + paragraph("", fmt::format("Slow modes at {}, all quantities at their typical "
                                       "values",
                                       duty_words(model, point.asked.duty)));
  if (modes.empty()) return out + "  None has a part of 0.02 K: there is nothing to wait for.\n";
  out += modes_table(modes);
  const double narrowest = *std::min_element(prediction.bands.begin(), prediction.bands.end());
  for (const SlowMode* mode : owned(modes, narrowest)) out += owners_of(*mode);
  return out + signs() + end_of_wait(prediction, point) + fit(point.slow);
}

// "90 W, fans 60 %: 71 s (-4.10 K), 12 s (-0.80 K)"
std::string brief(const WarmupPoint& point) {
  std::string words;
  for (const SlowMode* mode : shown(point.slow, most_short)) {
    words += fmt::format("{}{} ({} K)", words.empty() ? "" : ", ", constant(*mode),
                         part(mode->amplitude));
  }
  return paragraph("    ", fmt::format("{}: {}", duty_label(point.asked.duty),
                                       words.empty() ? "none of 0.02 K" : words));
}

}  // namespace

std::string slow_modes(const Model& model, const WarmupPrediction& prediction) {
  const WarmupPoint* const first = slowest(prediction);
  if (first == nullptr || first->slow.modes.empty()) return {};
  std::string out = full(model, prediction, *first);
  std::string others;
  for (const WarmupPoint& point : prediction.points) {
    if (&point != first && usable(point)) others += brief(point);
  }
  if (!others.empty())
    out += "  Time constants at the other points, and what of the reading each keeps missing\n";
  return out + others;
}

}  // namespace libloop::report
