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

// The parts of one stream with their flows.
struct Moving {
  const BuiltPart* part;
  double flow;  // kg/s
};
struct Stream {
  std::vector<Moving> parts;
  double most = 0.0;  // kg/s
};

Stream stream_of(const Built& built, const std::vector<double>& flows, bool air) {
  Stream stream;
  for (const BuiltPart& part : built.parts) {
    if (part.air != air) continue;
    stream.parts.push_back({&part, flows[static_cast<std::size_t>(part.branches.front())]});
    stream.most = std::max(stream.most, std::abs(stream.parts.back().flow));
  }
  return stream;
}

bool named(const BuiltPart& part, const char* head) { return part.name.rfind(head, 0) == 0; }

constexpr double still = 1e-5;  // of the largest flow of a stream

// Fans that others blow back through, cores that air passes the wrong way, and openings and
// cores that nothing drives air through.
void add_air_notes(const OperatingPoint& p, const Stream& air, Notes& notes) {
  constexpr double clearly = 1e-3;  // of a fan's free flow, or of the largest flow
  std::vector<std::string> standing;
  for (const auto& [part, m] : air.parts) {
    if (part->machine) {
      if (m >= -clearly * part->free_flow) continue;
      notes.add({Note::Kind::state, "fan_driven_back",
                 "air blows back through a fan: the others are stronger here", part->name});
    } else if (named(*part, "leak")) {
      continue;
    } else if (std::abs(m) <= still * air.most) {
      standing.push_back(part->name);
    } else if (m < -clearly * air.most && named(*part, "radiator")) {
      notes.add({Note::Kind::state, "air_backwards",
                 "air passes it against the direction of its path", part->name});
    }
  }
  // A core with one place on both sides has no branch of air at all.
  for (const RadiatorPoint& radiator : p.radiators) {
    if (radiator.air_flow == 0.0) standing.push_back(radiator.name);
  }
  if (standing.empty()) return;
  notes.add({Note::Kind::state, "air_stands",
             fmt::format("nothing drives air through {}: what little warm air and draughts would "
                         "move is neglected",
                         text::list(standing)),
             standing.front()});
}

// Pumps that are held, or through which coolant runs back.
void add_pump_notes(const Stream& coolant, double pump, Notes& notes) {
  constexpr double next_to_nothing = 1e-2;  // of free flow at the pump's speed
  for (const auto& [part, m] : coolant.parts) {
    if (!part->machine) continue;
    const bool backwards = m < -still * coolant.most;
    if (part->idle) {
      if (!backwards) continue;
      notes.add({Note::Kind::state, "pump_driven_back",
                 "coolant flows back through it while it stands still", part->name});
    } else if (std::abs(m) <= next_to_nothing * pump * part->free_flow) {
      notes.add({Note::Kind::state, "pump_blocked",
                 "the pump moves next to nothing: it works against another pump, a closed valve "
                 "or a dead end",
                 part->name});
    } else if (backwards) {
      notes.add({Note::Kind::state, "pump_driven_back",
                 "coolant is driven backwards through it: another pump is stronger, or one of "
                 "them is joined the wrong way round",
                 part->name});
    }
  }
}

// Parts that coolant does not flow through, or runs through the wrong way, and coolant that
// goes round without passing a plate.
void add_coolant_notes(const Stream& coolant, double pump, Notes& notes) {
  constexpr double most_of_it = 0.5;
  std::vector<std::string> standing, backwards;
  double through_plates = 0.0;
  for (const auto& [part, m] : coolant.parts) {
    if (named(*part, "cold_plate")) through_plates = std::max(through_plates, std::abs(m));
    if (part->machine) continue;
    if (std::abs(m) <= still * coolant.most) {
      standing.push_back(part->name);
    } else if (m < 0.0 && (named(*part, "cold_plate") || named(*part, "radiator"))) {
      backwards.push_back(part->name);
    }
  }
  add_pump_notes(coolant, pump, notes);
  if (!standing.empty()) {
    notes.add({Note::Kind::state, "coolant_stands",
               fmt::format("no coolant flows through {}: a dead end, or nothing drives it there",
                           text::list(standing)),
               standing.front()});
  }
  if (!backwards.empty()) {
    notes.add({Note::Kind::state, "coolant_backwards",
               fmt::format("coolant runs from out to in through {}: a pump or these are joined "
                           "the other way round",
                           text::list(backwards)),
               backwards.front()});
  }
  if (through_plates < most_of_it * coolant.most) {
    notes.add({Note::Kind::state, "little_through_plates",
               fmt::format("no plate gets more than {:.0f} % of the largest flow: the rest goes "
                           "round by pumps side by side, a bypass or parallel ways",
                           100.0 * through_plates / coolant.most),
               ""});
  }
}

}  // namespace

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
  const std::vector<double> flows = built.circuit.flows(x);
  if (fan > 0.0) add_air_notes(p, stream_of(built, flows, true), notes);
  if (pump > 0.0) add_coolant_notes(stream_of(built, flows, false), pump, notes);
  built.circuit.notes(x, notes);
  return notes.all();
}

}  // namespace libloop
