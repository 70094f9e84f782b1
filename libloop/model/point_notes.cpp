#include "libloop/model/point_notes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/text.hpp"

namespace libloop {
namespace {

void add_chip_notes(const OperatingPoint& p, Notes& notes) {
  if (p.leakage_gain >= 1.0) {
    notes.add({Note::Kind::state, "runs_away",
               "the chip runs away: this point balances, but any disturbance grows, since leakage "
               "rises faster than the cooler carries it off",
               "chip"});
  }
  for (const ChipPoint& chip : p.chips) {
    if (chip.temperature <= chip.limit) continue;
    notes.add(
        {Note::Kind::limit, "chip_limit",
         fmt::format("the hottest point of the chip would reach {:.0f} C, above its limit of "
                     "{:.0f} C: it would lower its power or switch off; do not run this point",
                     chip.temperature - 273.15, chip.limit - 273.15),
         chip.name});
  }
}

// Parts through which nothing flows though something should, and machines driven backwards.
void add_flow_notes(const Built& built, const std::vector<double>& x, double pump, Notes& notes) {
  constexpr double still = 1e-5;            // of the largest flow of the stream
  constexpr double next_to_nothing = 1e-2;  // of free flow at the pump's speed
  const bool pumps_run = pump > 0.0;
  const std::vector<double> flows = built.circuit.flows(x);
  const auto flow_of = [&](const BuiltPart& part) {
    return flows[static_cast<std::size_t>(part.branches.front())];
  };
  double most = 0.0;
  for (const BuiltPart& part : built.parts) {
    if (!part.air) most = std::max(most, std::abs(flow_of(part)));
  }
  std::vector<std::string> standing;
  for (const BuiltPart& part : built.parts) {
    if (part.air || part.machine) continue;
    if (std::abs(flow_of(part)) <= still * most) {
      standing.push_back(part.name);
    }
  }
  if (pumps_run && !standing.empty()) {
    notes.add({Note::Kind::state, "coolant_stands",
               fmt::format("no coolant flows through {}: a dead end, or nothing drives it there",
                           text::list(standing)),
               standing.front()});
  }
  for (const BuiltPart& part : built.parts) {
    if (part.air || !part.machine || !pumps_run) continue;
    const double m = flow_of(part);
    if (std::abs(m) <= next_to_nothing * pump * part.free_flow) {
      notes.add({Note::Kind::state, "pump_blocked",
                 "the pump moves next to nothing: it works against another pump, a closed valve "
                 "or a dead end",
                 part.name});
    } else if (m < 0.0) {
      notes.add({Note::Kind::state, "pump_driven_back",
                 "coolant is driven backwards through it: another pump is stronger, or one of "
                 "them is joined the wrong way round",
                 part.name});
    }
  }
  for (const BuiltPart& part : built.parts) {
    if (!part.air || !part.machine) continue;
    if (flow_of(part) < -1e-3 * part.free_flow) {
      notes.add({Note::Kind::state, "fan_driven_back",
                 "air blows back through a fan: the others are stronger here", part.name});
    }
  }
}

}  // namespace

Note several_points(const OperatingPoint& told, const OperatingPoint& from_rest) {
  constexpr double per_hour = 3600.0, litres_per_minute = 6e4;
  const auto words = [&](const OperatingPoint& p) {
    return fmt::format("{:.1f} m3/h of air, {:.2f} L/min of coolant, a rise of {:.1f} K",
                       p[Answer::air_flow] * per_hour, p[Answer::coolant_flow] * litres_per_minute,
                       p[Answer::rise]);
  };
  return {Note::Kind::state, "several_points",
          fmt::format("two points are stable, since a curve rises in part: this one ({}) and the "
                      "one that the machine takes when it starts from rest ({})",
                      words(told), words(from_rest)),
          ""};
}

std::vector<Note> notes_of(const Model::Setup& setup, const Built& built,
                           const std::vector<double>& values, const std::vector<double>& x,
                           const OperatingPoint& p) {
  const auto duty = [&](std::size_t row) {
    return values[static_cast<std::size_t>(setup.duty[row])];
  };
  const double fan = duty(3), pump = duty(4);
  Notes notes;
  add_chip_notes(p, notes);
  if (fan > 1.0 || pump > 1.0) {
    notes.add({Note::Kind::validity, "beyond_rated_speed",
               "a machine runs above its rated speed: its curve is stretched by the affinity laws, "
               "and its maker may not allow it",
               fan > 1.0 ? "fan" : "pump"});
  }
  if (p.load == 0.0) {
    notes.add(
        {Note::Kind::state, "no_load", "without a load there is no rise to speak of", "chip"});
  }
  add_flow_notes(built, x, pump, notes);
  built.circuit.notes(x, notes);
  return notes.all();
}

}  // namespace libloop
