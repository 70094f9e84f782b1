#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "libloop/law/sound.hpp"
#include "libloop/model/build.hpp"
#include "libloop/model/model.hpp"

namespace libloop {
namespace {

using RowMajor = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

std::size_t at(int index) { return static_cast<std::size_t>(index); }
std::size_t at(Raw raw) { return static_cast<std::size_t>(raw); }
std::size_t at(Answer answer) { return static_cast<std::size_t>(answer); }

// An answer as a combination of the circuit's own: value, and slope by each of two.
struct Derived {
  double value;
  Raw first;
  double by_first;
  Raw second;
  double by_second;
};

Derived derive(Answer answer, const std::vector<double>& raw) {
  const auto same = [&](Raw r) { return Derived{raw[at(r)], r, 1.0, r, 0.0}; };
  switch (answer) {
    case Answer::rise:
      return same(Raw::rise);
    case Answer::coolant_rise:
      return same(Raw::coolant_rise);
    case Answer::coolant_flow:
      return same(Raw::coolant_flow);
    case Answer::air_flow:
      return same(Raw::air_flow);
    case Answer::conductance: {
      // At no heat the quotient is 0/0; it is told as 0, with a note by the model.
      const double rise = raw[at(Raw::coolant_rise)];
      if (std::abs(rise) < 1e-9) return {0.0, Raw::core_heat, 0.0, Raw::coolant_rise, 0.0};
      const double value = raw[at(Raw::core_heat)] / rise;
      return {value, Raw::core_heat, 1.0 / rise, Raw::coolant_rise, -value / rise};
    }
    case Answer::noise: {
      const Dual<1> level = law::sound_level(Dual<1>::variable(raw[at(Raw::noise)], 0));
      return {level.value, Raw::noise, level.slope[0], Raw::noise, 0.0};
    }
  }
  return same(Raw::rise);
}

}  // namespace

struct Solver::Impl {
  explicit Impl(const Model& m) : model(m), setup(*m.setup_), built(build(setup)) {}

  Model model;
  const Model::Setup& setup;
  Built built;
  network::Evaluation work;
  std::vector<double> x;
  std::vector<double> values;

  double duty(int row) const { return values[at(setup.duty[at(row)])]; }
  double load() const { return duty(0); }
  double ambient() const { return duty(1); }
  double fan() const { return duty(3); }
  double pump() const { return duty(4); }

  // A cold start: flows scaled by speed, temperatures by the load. Air at rest starts
  // almost at rest: an exact zero would start Newton where a stopped fan has no slope.
  std::vector<double> cold() {
    const double rise = 0.03 * load();
    std::vector<double> start = built.circuit.start(ambient() + rise);
    const int loops = built.circuit.loops();
    for (int l = 0; l < loops; ++l) {
      start[at(l)] *= std::max(1e-3, l < loops - 1 ? fan() : pump());
    }
    network::nudge_flows(built.circuit, start, work);
    return start;
  }

  network::SolveOptions options() const {
    network::SolveOptions o;
    o.load = load();
    return o;
  }

  // How strongly leakage feeds on itself: the largest eigenvalue of (slope of power by
  // temperature) x (rise of each die by power in each die). At 1 the chip runs away.
  double leakage_gain(const network::Evaluation& slopes) const {
    const std::vector<int>& dies = built.die_states;
    const auto n = static_cast<Eigen::Index>(dies.size());
    const int size = built.circuit.unknowns();
    RowMajor jacobian =
        Eigen::Map<const RowMajor>(slopes.slope.data(), size, slopes.columns).leftCols(size);
    const std::vector<double> leak = leakage();
    RowMajor source = RowMajor::Zero(size, n);
    for (Eigen::Index i = 0; i < n; ++i) {
      const int row = built.circuit.state_row(dies[static_cast<std::size_t>(i)]);
      if (load_at_reference()) jacobian(row, row) -= leak[at(dies[static_cast<std::size_t>(i)])];
      source(row, i) = -1.0;
    }
    const RowMajor response = jacobian.partialPivLu().solve(source);
    Eigen::MatrixXd gain(n, n);
    for (Eigen::Index i = 0; i < n; ++i) {
      const int die = dies[static_cast<std::size_t>(i)];
      gain.row(i) = leak[at(die)] * response.row(built.circuit.state_row(die));
    }
    return gain.eigenvalues().real().maxCoeff();
  }

  // Growth of each state's own heat by its temperature, W/K.
  std::vector<double> leakage() const {
    std::vector<double> growth(at(built.circuit.states()), 0.0);
    const double slope = values[model.index("chip.leakage_slope")];
    const double power = load() * values[model.index("bench.power_factor")];
    const std::vector<Sheet>& dies = setup.bench.dies;
    double shares = 0.0;
    for (const Sheet& die : dies) shares += share(die);
    for (std::size_t i = 0; i < dies.size(); ++i) {
      growth[at(built.die_states[i])] = slope * power * share(dies[i]) / shares;
    }
    return growth;
  }

  double share(const Sheet& die) const {
    const std::vector<int>& places = setup.places.of.at(&die).front();
    const std::vector<std::size_t> rows = die.continuous();
    for (std::size_t i = 0; i < rows.size(); ++i) {
      if (die.table().rows[rows[i]].name == "power_share") return values[at(places[i])];
    }
    return 1.0;
  }

  OperatingPoint point(network::Summary summary) const {
    OperatingPoint p;
    p.summary = std::move(summary);
    const std::vector<double>& raw = work.answer;
    for (const AnswerRow& row : answer_rows)
      p.answer[at(row.answer)] = derive(row.answer, raw).value;
    for (std::size_t i = 0; i < budget_rows.size(); ++i) p.budget[i] = raw[at(raw_budget) + i];
    for (std::size_t i = 0; i < built.die_states.size(); ++i) {
      const double kelvin = raw[at(raw_dies) + i];
      p.hottest.push_back(kelvin - ambient());
      p.chip_temperature = std::max(p.chip_temperature, kelvin);
    }
    p.coolant_warming = raw[at(Raw::coolant_warming)];
    p.heat_in = raw[at(Raw::heat_in)];
    p.heat_out = raw[at(Raw::heat_out)];
    p.energy_residual = std::abs(p.heat_in - p.heat_out) / std::max(load(), 1.0);
    return p;
  }

  void fail_running_away(OperatingPoint& p) const {
    p.summary.usable = false;
    p.summary.reason = "runs_away";
    p.summary.why = fmt::format(
        "the chip runs away: each watt of leakage brings {:.2f} W more, so that no operating point "
        "exists",
        p.leakage_gain);
  }

  void add_notes(OperatingPoint& p);

  bool load_at_reference() const { return setup.bench.bench.choice("load_at") == "reference"; }

  OperatingPoint run(bool notes) {
    OperatingPoint p = point(network::solve(built.circuit, options(), x, work));
    if (load_at_reference()) {
      add_gain(p);
      if (!on_the_branch(p)) p = follow_leakage();
    } else if (notes && p.summary.usable) {
      add_gain(p);
    }
    if (load_at_reference() && p.summary.usable && coldest_power() < 0.0) {
      p.summary.usable = false;
      p.summary.reason = "leakage_law";
      p.summary.why =
          "the stated leakage slope gives the chip a negative power at this temperature: it is too "
          "steep for so little heat";
    }
    if (notes && p.summary.usable) add_notes(p);
    return p;
  }

  // The least 1 + slope (T - reference) of any die.
  double coldest_power() const {
    const double slope = values[model.index("chip.leakage_slope")];
    const double reference = values[model.index("chip.leakage_reference")];
    double least = 1.0;
    for (const int die : built.die_states) {
      const double kelvin = x[at(built.circuit.state_row(die))];
      least = std::min(least, 1.0 + slope * (kelvin - reference));
    }
    return least;
  }

  void add_gain(OperatingPoint& p) const {
    if (!p.summary.usable) return;
    network::Evaluation slopes;
    built.circuit.evaluate(x, network::Slopes::by_unknown, slopes);
    p.leakage_gain = leakage_gain(slopes);
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
  OperatingPoint follow_leakage() {
    constexpr double finest = 1.0 / 64.0, hopeless = 1.5;
    constexpr int enough = 25;  // iterations from a neighbour
    const std::size_t place = model.index("chip.leakage_slope");
    const double slope = values[place];
    double reached = 0.0, step = 0.25, gain = 0.0;
    OperatingPoint p = at_slope(place, 0.0, cold(), options().iterations);
    if (!p.summary.usable) return p;
    values[place] = slope;
    add_gain(p);
    if (p.leakage_gain >= hopeless) {
      fail_running_away(p);
      return p;
    }
    while (reached < 1.0) {
      const double next = std::min(1.0, reached + step);
      const std::vector<double> before = x;
      OperatingPoint trial = at_slope(place, next * slope, before, enough);
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
      values[place] = slope;
      p.leakage_gain = std::max(1.0, reached > 0.0 ? gain / reached : 1.0);
      fail_running_away(p);
      return p;
    }
    return p;
  }

  OperatingPoint at_slope(std::size_t place, double slope, const std::vector<double>& from,
                          int iterations) {
    values[place] = slope;
    built.circuit.prepare(values);
    x = from;
    network::SolveOptions quick = options();
    quick.iterations = iterations;
    return point(network::solve(built.circuit, quick, x, work));
  }
};

void Solver::Impl::add_notes(OperatingPoint& p) {
  Notes notes;
  const double limit = setup.bench.chip.typical("limit");
  if (p.leakage_gain >= 1.0) {
    notes.add({Note::Kind::state, "runs_away",
               "the chip runs away: this point balances, but any disturbance grows, since leakage "
               "rises faster than the cooler carries it off",
               "chip"});
  }
  if (p.chip_temperature > limit) {
    notes.add(
        {Note::Kind::limit, "chip_limit",
         fmt::format("the hottest point of the chip would reach {:.0f} C, above its limit of "
                     "{:.0f} C: it would lower its power or switch off; do not run this point",
                     p.chip_temperature - 273.15, limit - 273.15),
         "chip"});
  }
  if (fan() > 1.0 || pump() > 1.0) {
    notes.add({Note::Kind::validity, "beyond_rated_speed",
               "a machine runs above its rated speed: its curve is stretched by the affinity laws, "
               "and its maker may not allow it",
               fan() > 1.0 ? "fan" : "pump"});
  }
  if (load() == 0.0) {
    notes.add(
        {Note::Kind::state, "no_load", "without a load there is no rise to speak of", "chip"});
  }
  built.circuit.notes(x, notes);
  p.notes = notes.all();
  double free_flow = 0.0;
  for (const Sheet& sheet : setup.cooler.fans) {
    const double flow = sheet.given("curve") ? sheet.entry("curve").points.back().first
                                             : sheet.typical("free_flow");
    free_flow += flow * sheet.count("count") * fan();
  }
  p.air_share = free_flow > 0.0 ? p[Answer::air_flow] / free_flow : 0.0;
}

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
    const Derived d = derive(row.answer, work.answer);
    for (std::size_t q = 0; q < columns; ++q) {
      slopes.values[at(row.answer) * slopes.quantities + q] =
          d.by_first * raw[at(d.first) * columns + q] +
          d.by_second * raw[at(d.second) * columns + q];
    }
  }
  return slopes;
}

std::vector<double> Solver::linearise() const {
  return network::linearise(impl_->built.circuit, impl_->x,
                            impl_->load_at_reference() ? std::vector<double>() : impl_->leakage());
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
