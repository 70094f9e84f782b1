#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "libloop/model/answers.hpp"
#include "libloop/model/build.hpp"
#include "libloop/model/leakage.hpp"
#include "libloop/model/model.hpp"
#include "libloop/model/point_notes.hpp"
#include "libloop/model/stable_points.hpp"
#include "libloop/part/machine_curve.hpp"

namespace libloop {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

}  // namespace

struct Solver::Impl {
  explicit Impl(const Model& m)
      : model(m), setup(*m.setup_), built(build(setup)), leakage(setup, built) {}

  Model model;
  const Model::Setup& setup;
  Built built;
  Leakage leakage;
  network::Evaluation work;
  std::vector<double> x;
  std::vector<double> values;
  OperatingPoint from_rest_;            // where several points are possible
  std::vector<OperatingPoint> others_;  // stable, and not told

  double duty(int row) const { return values[at(setup.duty[at(row)])]; }
  double load() const { return leakage.load(values); }
  double ambient() const { return duty(1); }

  // A cold start: flows scaled by speed, temperatures by the load. What stands still
  // starts almost at rest: an exact zero would start Newton where a stopped fan has no
  // slope.
  std::vector<double> cold() {
    constexpr double almost = 1e-3;
    const double rise = 0.03 * load();
    std::vector<double> start = built.circuit.start(ambient() + rise);
    for (int l = 0; l < built.circuit.loops(); ++l) {
      const int branch = built.circuit.chord(l);
      const bool air = built.circuit.branches()[at(branch)].stream == built.air;
      start[at(l)] *= std::max(almost, air ? duty(3) : duty(4));
    }
    network::nudge_flows(built.circuit, start, work);
    return start;
  }

  network::SolveOptions options() const {
    network::SolveOptions o;
    o.load = load();
    return o;
  }

  OperatingPoint point(network::Summary summary, bool all) const {
    OperatingPoint p;
    p.summary = std::move(summary);
    fill(p, built, work.answer, ambient(), load(), all);
    return p;
  }

  OperatingPoint with_parts(network::Summary summary) const {
    OperatingPoint p = point(std::move(summary), true);
    if (p.summary.usable) p.parts = parts_of(setup, built, values, x, work);
    return p;
  }

  // All stable points that are found from much flow, and the one reached from rest; leaves
  // x at the one to be told. Without notes only the likeliest start is tried.
  void choose_stable_point(bool notes) {
    others_.clear();
    const std::vector<double> begin = x;
    bool chosen = false;
    OperatingPoint told;
    std::vector<double> best;
    const auto consider = [&](const OperatingPoint& p) {
      if (!p.summary.usable) return;
      if (chosen && differ(p, told)) others_.push_back(before(p, told) ? told : p);
      if (chosen && !before(p, told)) return;
      chosen = true;
      told = p;
      best = x;
    };
    for (const std::vector<double>& start : starts_from_much_flow(built, duty(3), duty(4))) {
      x = begin;
      std::copy(start.begin(), start.end(), x.begin());
      network::solve_flows(built.circuit, options(), x, work);
      consider(with_parts(network::solve(built.circuit, options(), x, work)));
      if (!notes) break;
    }
    if (notes) {
      x = begin;
      network::solve_flows_from_rest(built.circuit, options(), x, work);
      from_rest_ = with_parts(network::solve(built.circuit, options(), x, work));
      consider(from_rest_);
    }
    x = chosen ? best : begin;
  }

  void note_other_point(OperatingPoint& p) {
    if (from_rest_.summary.usable && differ(p, from_rest_)) {
      p.notes.push_back(several_points(p, from_rest_, true));
    } else {
      for (const OperatingPoint& other : others_) {
        if (!differ(p, other)) continue;
        p.notes.push_back(several_points(p, other, false));
        return;
      }
    }
  }

  OperatingPoint run(bool notes) {
    const bool several = several_possible(built);
    if (several) choose_stable_point(notes);
    OperatingPoint p = point(network::solve(built.circuit, options(), x, work), notes);
    if (leakage.at_reference()) {
      add_gain(p);
      if (!on_the_branch(p)) p = follow_leakage(notes);
    } else if (notes) {
      add_gain(p);
    }
    if (p.summary.reason == "no_convergence") name_what_overheats(p);
    if (leakage.at_reference() && p.summary.usable && leakage.coldest_power(x, values) < 0.0) {
      p.summary.usable = false;
      p.summary.reason = "leakage_law";
      p.summary.why =
          "the stated leakage slope gives the chip a negative power at this temperature: it is too "
          "steep for so little heat";
    }
    if (notes && p.summary.usable) {
      p.parts = parts_of(setup, built, values, x, work);
      p.notes = notes_of(setup, built, values, x, p);
      p.air_share = share_of_free_flow(p);
      if (several) note_other_point(p);
    }
    return p;
  }

  // Where heat finds no way out, temperatures climb until the search ends. Told only where it
  // is so: at the flows found, a watt more into the hottest state has less than 1 mW/K to
  // leave by. Anything else stays a search that failed.
  void name_what_overheats(OperatingPoint& p) const {
    constexpr double no_way_out = 1e3;  // K/W
    const auto kelvin = [&](int state) { return x[at(built.circuit.state_row(state))]; };
    int hottest = 0;
    for (int s = 1; s < built.circuit.states(); ++s) {
      if (kelvin(s) > kelvin(hottest)) hottest = s;
    }
    const std::array<int, 1> states = {hottest};
    const double response = network::heat_response(built.circuit, x, states, {}).front();
    if (!(std::abs(response) > no_way_out)) return;
    p.summary.reason = "heat_stays";
    p.summary.why = fmt::format(
        "the heat of {} finds no way out: next to no coolant passes it that goes on to a radiator",
        built.circuit.state(hottest));
  }

  double share_of_free_flow(const OperatingPoint& p) const {
    double free_flow = 0.0;
    for (const Sheet* sheet : built.counted_fans) {
      free_flow += stated_free_flow(*sheet) * sheet->count("count") * duty(3) *
                   sheet->typical("speed_share");
    }
    return free_flow > 0.0 ? std::abs(p[Answer::air_flow]) / free_flow : 0.0;
  }

  void add_gain(OperatingPoint& p) const {
    if (p.summary.usable) p.leakage_gain = leakage.gain(x, values);
  }

  void fail_running_away(OperatingPoint& p) const {
    p.summary.usable = false;
    p.summary.reason = "runs_away";
    p.summary.why = fmt::format(
        "the chip runs away: each watt of leakage brings {:.2f} W more, so that no operating point "
        "exists",
        p.leakage_gain);
  }

  // Whether a point is the one that grows out of no leakage: beyond a gain of one the
  // balances have another zero, with a chip that cools, which no machine can reach.
  bool on_the_branch(const OperatingPoint& p) const {
    return p.summary.usable && p.leakage_gain >= 0.0 && p.leakage_gain < 1.0;
  }

  // With the load stated at a reference temperature the operating point is followed from
  // no leakage to the true slope. Where the gain reaches one on the way the point is lost
  // to infinity: the chip runs away, and that is the proof. A gain that starts far above
  // one needs no following: warmer, thinner coolant takes off less than a third of it.
  OperatingPoint follow_leakage(bool all) {
    constexpr double finest = 1.0 / 64.0, hopeless = 1.5;
    constexpr int enough = 25;  // iterations from a neighbour
    const std::vector<double> stated = values;
    double reached = 0.0, step = 0.25, gain = 0.0;
    OperatingPoint p = at_slope(stated, 0.0, cold(), options().iterations, all);
    if (!p.summary.usable) return p;
    values = stated;
    add_gain(p);
    if (p.leakage_gain >= hopeless) {
      fail_running_away(p);
      return p;
    }
    while (reached < 1.0) {
      const double next = std::min(1.0, reached + step);
      const std::vector<double> before = x;
      OperatingPoint trial = at_slope(stated, next, before, enough, all);
      add_gain(trial);
      if (on_the_branch(trial)) {
        p = std::move(trial);
        gain = p.leakage_gain;
        reached = next;
        continue;
      }
      x = before;
      step *= 0.5;
      if (step >= finest) continue;
      values = stated;
      p.leakage_gain = std::max(1.0, reached > 0.0 ? gain / reached : 1.0);
      fail_running_away(p);
      return p;
    }
    return p;
  }

  OperatingPoint at_slope(const std::vector<double>& stated, double share,
                          const std::vector<double>& from, int iterations, bool all) {
    values = stated;
    leakage.scale(share, values);
    built.circuit.prepare(values);
    x = from;
    network::SolveOptions quick = options();
    quick.iterations = iterations;
    return point(network::solve(built.circuit, quick, x, work), all);
  }
};

Solver::Solver(const Model& model) : impl_(std::make_unique<Impl>(model)) {}
Solver::Solver(Solver&&) noexcept = default;
Solver& Solver::operator=(Solver&&) noexcept = default;
Solver::~Solver() = default;

OperatingPoint Solver::solve(const Duty& duty) { return solve_at(impl_->model.typical(duty)); }

OperatingPoint Solver::solve_at(const std::vector<double>& values) {
  impl_->values = values;
  impl_->built.circuit.prepare(values);
  impl_->x = impl_->cold();
  return impl_->run(true);
}

OperatingPoint Solver::resolve(const std::vector<double>& values) {
  impl_->values = values;
  impl_->built.circuit.prepare(values);
  if (impl_->x.empty()) impl_->x = impl_->cold();
  const std::vector<double> last = impl_->x;
  OperatingPoint p = impl_->run(false);
  if (p.summary.usable) return p;
  // A warm start may be a bad one: once more, cold.
  impl_->x = impl_->cold();
  p = impl_->run(false);
  if (!p.summary.usable) impl_->x = last;
  return p;
}

void Solver::forget() { impl_->x.clear(); }

Slopes Solver::slopes() {
  network::Evaluation work;
  const std::vector<double> raw = network::answer_slopes(impl_->built.circuit, impl_->x, work);
  Slopes slopes;
  slopes.quantities = impl_->setup.quantities.size();
  const auto columns = at(impl_->built.circuit.quantities());
  slopes.values.assign(answer_count * slopes.quantities, 0.0);
  for (const AnswerRow& row : answer_rows) {
    double* to = &slopes.values[static_cast<std::size_t>(row.answer) * slopes.quantities];
    for (const auto& [index, slope] : slopes_of(row.answer, impl_->built, work.answer)) {
      for (std::size_t q = 0; q < columns; ++q) to[q] += slope * raw[at(index) * columns + q];
    }
  }
  return slopes;
}

std::vector<double> Solver::linearise() const {
  return network::linearise(
      impl_->built.circuit, impl_->x,
      impl_->leakage.at_reference() ? std::vector<double>() : impl_->leakage.growth(impl_->values));
}

std::vector<std::string> Solver::states() const {
  std::vector<std::string> names;
  for (int s = 0; s < impl_->built.circuit.states(); ++s) {
    names.push_back(impl_->built.circuit.state(s));
  }
  return names;
}

const network::Circuit& Solver::circuit() const { return impl_->built.circuit; }
const std::vector<double>& Solver::unknowns() const { return impl_->x; }

}  // namespace libloop
