#include "libloop/report/part_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/text.hpp"
#include "libloop/model/paths.hpp"
#include "libloop/report/ways.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

bool ends_with(const std::string& text, std::string_view end) {
  return text.size() > end.size() && text.compare(text.size() - end.size(), end.size(), end) == 0;
}

std::string watts(double value) { return fmt::format("{:.0f} W", value + 0.0); }

// Leaks and openings have no right way round.
bool has_direction(const std::string& name) {
  return name.rfind("leak ", 0) != 0 && name.rfind("opening", 0) != 0;
}

}  // namespace

PartWords::PartWords(const Model& model, const OperatingPoint& point) {
  const std::vector<const Sheet*> sheets = model.cooler().sheets();
  const std::vector<std::string> paths = paths_of(sheets);
  for (std::size_t i = 0; i < sheets.size(); ++i) {
    if (sheets[i]->table().kind != "cold_plate") continue;
    const Seat* seat = seat_of(*sheets[i], model.cooler(), model.bench());
    if (seat == nullptr) continue;
    for (const ChipPoint& chip : point.chips) {
      if (chip.name == seat->chip.path()) chips_[paths[i]] = &chip;
    }
  }
  for (const RadiatorPoint& radiator : point.radiators) radiators_[radiator.name] = &radiator;
}

const ChipPoint* PartWords::chip_on(const PartPoint& part) const {
  const auto found = chips_.find(part.name);
  return part.air || found == chips_.end() ? nullptr : found->second;
}

const RadiatorPoint* PartWords::radiator(const PartPoint& part) const {
  const auto found = radiators_.find(part.name);
  return part.air || found == radiators_.end() ? nullptr : found->second;
}

std::string PartWords::remark(const PartPoint& part, std::size_t most) const {
  std::string words;
  if (const ChipPoint* chip = chip_on(part)) {
    // A chip of the plate's own name need not say it again.
    const std::string own = part.name.substr(std::min(part.name.find('.'), part.name.size()));
    const std::string name = chip->name == "chip" + own ? "chip" : chip->name;
    words = fmt::format("← {}, {} {:+.1f} K", watts(chip->load), shortened(name, most),
                        chip->rise + 0.0);
  }
  if (const RadiatorPoint* core = radiator(part)) {
    words = (core->heat < 0.0 ? "← " : "→ ") + heat_words(*core);
  }
  if (backwards(part) && has_direction(part.name)) {
    words += words.empty() ? "backwards" : "; backwards";
  }
  return words;
}

std::string heat_words(const RadiatorPoint& radiator) {
  return watts(std::abs(radiator.heat)) + (radiator.heat < 0.0 ? " from the air" : " to the air");
}

std::string shortened(const std::string& name, std::size_t most) {
  if (text::width(name) <= most) return name;
  const std::size_t half = most / 2 - 1;
  std::string_view front = name, tail = name;
  while (text::width(front) > half) front = text::cut(front, front.size() - 1);
  const auto within = [&] { return (static_cast<unsigned char>(tail.front()) & 0xC0) == 0x80; };
  while (text::width(tail) > most - half - 1 || within()) tail.remove_prefix(1);
  return std::string(front) + "…" + std::string(tail);
}

std::string place_words(const std::string& place) {
  if (place == "outside") return "from outside";
  if (ends_with(place, ".in")) return "before " + place.substr(0, place.size() - 3);
  if (ends_with(place, ".out")) return "behind " + place.substr(0, place.size() - 4);
  return "at " + place;
}

}  // namespace libloop::report
