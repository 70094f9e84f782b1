// The slow modes of a warm-up, from those of its circuit.
#include <algorithm>
#include <cmath>

#include "libloop/model/answers.hpp"
#include "libloop/network/modes.hpp"
#include "libloop/warmup/impl.hpp"

namespace libloop {
namespace {

constexpr int most_told = 8;
constexpr double least_told = 0.01;  // K, in the reading or the coolant

std::vector<Owner> owners(const std::vector<network::Share>& shares) {
  std::vector<Owner> all;
  for (const network::Share& share : shares) all.push_back({share.name, share.share});
  return all;
}

// The slopes of an answer by the states, all else following.
std::vector<double> gradient_of(const RawSlopes& slopes, const network::Modes& modes, int states) {
  std::vector<double> gradient(static_cast<std::size_t>(states), 0.0);
  const std::vector<double>& by_state = modes.answer_slopes();
  for (const auto& [answer, slope] : slopes) {
    const double* row = &by_state[static_cast<std::size_t>(answer * states)];
    for (std::size_t s = 0; s < gradient.size(); ++s) gradient[s] += slope * row[s];
  }
  return gradient;
}

// Compares the reading of the closed form, behind its sensor's lag, with the trajectory's.
class Comparison {
 public:
  Comparison(const network::Modes& modes, std::vector<double> gradient,
             std::vector<double> deviation, const Trajectory& trajectory, double lag)
      : modes_(modes),
        gradient_(std::move(gradient)),
        deviation_(std::move(deviation)),
        trajectory_(trajectory),
        lag_(lag) {}

  void fill(SlowModes& told) const {
    constexpr double minute = 60.0, growth = 0.005, first = 0.002;
    const double settled = trajectory_.settled_value(Trace::rise);
    const double begin = trajectory_.last_change();
    const double end = std::min(trajectory_.end() - begin, 10.0 * slowest());
    double now = instant(0.0);
    double lagged = trajectory_.at(Trace::rise, begin) - settled;
    for (double t = 0.0; t < end;) {
      // Between two looks the instant reading moves evenly, and the lag follows it exactly.
      const double step = std::min(std::max(first * lag_, growth * t), end - t);
      const double next = instant(t + step);
      const double slope = (next - now) / step, fades = std::exp(-step / lag_);
      lagged = next - slope * lag_ + (lagged - now + slope * lag_) * fades;
      now = next;
      t += step;
      const double error = std::abs(settled + lagged - trajectory_.at(Trace::rise, begin + t));
      if (error > told.worst_error) {
        told.worst_error = error;
        told.worst_error_time = t;
      }
      if (t >= minute) {
        told.error_after_minute = std::max(told.error_after_minute.value_or(0.0), error);
      }
    }
  }

 private:
  double instant(double t) const { return modes_.reading(gradient_, deviation_, t); }
  double slowest() const { return std::max(1.0, modes_.all().front().time_constant); }

  const network::Modes& modes_;
  std::vector<double> gradient_, deviation_;
  const Trajectory& trajectory_;
  double lag_;
};

}  // namespace

SlowModes Warmup::modes() {
  SlowModes told;
  const Impl& i = *impl_;
  if (!i.last || !i.last->settled.summary.usable || i.last->pieces.empty()) return told;
  const Trajectory trajectory(i.last);
  impl_->built.circuit.prepare(i.last_values);
  const network::Circuit& circuit = i.built.circuit;
  const std::vector<double>& x = i.settled_at;
  std::vector<double> leak;
  std::vector<std::string> names;
  if (!i.leakage.at_reference()) leak = i.leakage.growth(i.last_values);
  if (!leak.empty()) names.assign(leak.size(), "leakage");
  const network::Modes modes(circuit, x, leak, names, most_told);
  if (!modes.summary().usable) return told;

  network::Evaluation work;
  circuit.evaluate(x, network::Slopes::none, work);
  const int states = circuit.states();
  const std::vector<double> rise = gradient_of({{i.built.chips.front().rise, 1.0}}, modes, states);
  const std::vector<double> coolant =
      gradient_of(slopes_of(Answer::coolant_rise, i.built, work.answer), modes, states);
  std::vector<double> deviation;
  const std::vector<double> begin = trajectory.unknowns(trajectory.last_change());
  for (int s = 0; s < states; ++s) {
    const auto row = static_cast<std::size_t>(circuit.state_row(s));
    deviation.push_back(begin[row] - x[row]);
  }
  const std::vector<double> in_reading = modes.amplitudes(rise, deviation);
  const std::vector<double> in_coolant = modes.amplitudes(coolant, deviation);
  for (std::size_t k = 0; k < std::min<std::size_t>(most_told, modes.all().size()); ++k) {
    if (std::max(std::abs(in_reading[k]), std::abs(in_coolant[k])) < least_told) continue;
    const network::Mode& mode = modes.all()[k];
    // What is missing, where a mode dies away evenly; the size of a swing.
    const double sign = mode.period > 0.0 ? 1.0 : -1.0;
    told.modes.push_back({mode.time_constant, mode.period, sign * in_reading[k],
                          sign * in_coolant[k], owners(mode.capacities),
                          owners(mode.conductances)});
  }
  const int lag = i.setup.place(i.built.chips.front().place->seat->sensor, "lag");
  Comparison(modes, rise, deviation, trajectory, i.last_values[static_cast<std::size_t>(lag)])
      .fill(told);
  return told;
}

}  // namespace libloop
