#include "libloop/warmup/warmup.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "libloop/base/error.hpp"
#include "libloop/warmup/impl.hpp"
#include "libloop/warmup/passing_notes.hpp"
#include "libloop/warmup/run.hpp"

namespace libloop {
namespace {

bool tells(const std::vector<Note>& notes, const Note& note) {
  return std::any_of(notes.begin(), notes.end(),
                     [&](const Note& n) { return n.code == note.code && n.part == note.part; });
}

network::Summary runs_away() {
  network::Summary summary;
  summary.reason = "runs_away";
  summary.why =
      "the chip runs away: leakage feeds on itself, and the least disturbance drives the chip from "
      "its settled point";
  return summary;
}

void check(const WarmupOptions& o) {
  if (!(o.tolerance >= 1e-10 && o.tolerance <= 0.1)) {
    refuse(Code::bounds, fmt::format("a tolerance of {:.6g}", o.tolerance),
           "It must lie between 1e-10 and 0.1.");
  }
  if (!(o.duration >= 0.0 && o.duration <= 1e8)) {
    refuse(Code::bounds, fmt::format("a duration of {:.6g} s", o.duration),
           "It must lie between 0 s and 1e8 s.");
  }
  if (!(o.settled_within > 0.0 && o.settled_within <= 1.0)) {
    refuse(Code::bounds, fmt::format("settled within {:.6g} K", o.settled_within),
           "It must lie above 0 K and not above 1 K.");
  }
}

}  // namespace

Trajectory Warmup::Impl::run(const std::vector<double>& values, const Profile& profile,
                             const Start& start, const WarmupOptions& options) {
  auto data = std::make_shared<Trajectory::Data>();
  const Schedule schedule =
      schedule_of(model, solver, leakage, built, values, profile, options.quick);
  data->settled = schedule.settled;
  data->settled_chips = settled_chips(schedule.settled);
  data->last_change = schedule.segments.back().begin;
  note_unreferenced(schedule, *data);
  const std::optional<std::vector<double>> begin =
      first_unknowns(values, schedule, start, options.quick, *data);
  const bool endless = options.duration <= 0.0;
  if (begin && endless && !schedule.settled.summary.usable) {
    data->summary = schedule.settled.summary;
  } else if (begin && endless && driven_off(schedule.settled_at, schedule.segments.back().values)) {
    data->summary = runs_away();
  } else if (begin) {
    Run(setup, built, leakage, schedule, options, *begin).solve(*data);
    if (!options.quick) {
      for (Note& note : passing_notes(setup, built, schedule, *data)) {
        if (!tells(data->notes, note)) data->notes.push_back(std::move(note));
      }
    }
  }
  last = data;
  last_values = schedule.segments.back().values;
  settled_at = schedule.settled_at;
  return Trajectory(data);
}

// A point of a load read hot exists whatever the leakage, but may drive itself off.
bool Warmup::Impl::driven_off(const std::vector<double>& unknowns,
                              const std::vector<double>& quantities) {
  if (leakage.at_reference()) return false;
  built.circuit.prepare(quantities);
  return leakage.gain(unknowns, quantities) >= 1.0;
}

std::vector<double> Warmup::Impl::settled_chips(const OperatingPoint& settled) const {
  std::vector<double> all;
  for (const ChipPoint& chip : settled.chips) all.push_back(chip.rise);
  if (all.empty()) all.assign(built.chips.size(), settled[Answer::rise]);
  return all;
}

void Warmup::Impl::note_unreferenced(const Schedule& schedule, Trajectory::Data& data) const {
  if (schedule.unreferenced.empty()) return;
  data.notes.push_back(
      {Note::Kind::state, "leakage_unreferenced",
       fmt::format("at {:.6g} s the profile asks for what would never settle: leakage counts from "
                   "the row before",
                   schedule.unreferenced.front()),
       "chip"});
}

// Nothing when the soak has no point; told in the summary.
std::optional<std::vector<double>> Warmup::Impl::first_unknowns(const std::vector<double>& values,
                                                                const Schedule& schedule,
                                                                const Start& start, bool quick,
                                                                Trajectory::Data& data) {
  const auto ambient = schedule.segments.front().values[static_cast<std::size_t>(setup.duty[1])];
  std::vector<double> x = built.circuit.start(ambient);
  if (!schedule.first_at.empty()) x = schedule.first_at;  // its flows as a guess
  for (int s = 0; s < built.circuit.states(); ++s) {
    x[static_cast<std::size_t>(built.circuit.state_row(s))] = ambient;
  }
  if (!start.soak) return x;
  std::vector<double> soaked = values;
  model.set_duty(*start.soak, soaked);
  const OperatingPoint point = quick ? solver.resolve(soaked) : solver.solve_at(soaked);
  const std::vector<double> unknowns = solver.unknowns();
  for (Note note : point.notes) {
    if (note.kind != Note::Kind::limit) continue;
    note.when = "during the soak";
    data.notes.push_back(std::move(note));
  }
  if (point.summary.usable && !driven_off(unknowns, soaked)) return unknowns;
  data.summary = point.summary.usable ? runs_away() : point.summary;
  data.summary.why = "where it should start: " + data.summary.why;
  return std::nullopt;
}

Warmup::Warmup(const Model& model) : impl_(std::make_unique<Impl>(model, *model.setup_)) {}
Warmup::Warmup(Warmup&&) noexcept = default;
Warmup& Warmup::operator=(Warmup&&) noexcept = default;
Warmup::~Warmup() = default;

Trajectory Warmup::run(const Profile& profile, const Start& start, const WarmupOptions& options) {
  return run_at(impl_->model.typical({}), profile, start, options);
}

Trajectory Warmup::run_at(const std::vector<double>& values, const Profile& profile,
                          const Start& start, const WarmupOptions& options) {
  profile.check(impl_->model);
  check(options);
  const std::size_t count = impl_->model.quantities().size();
  if (values.size() != count) {
    refuse(Code::call, fmt::format("{} values for {} quantities", values.size(), count),
           "One value for each of the model's quantities, in their order.");
  }
  return impl_->run(values, profile, start, options);
}

}  // namespace libloop
