#include "libloop/network/motion.hpp"

#include <algorithm>
#include <cmath>

#include "libloop/network/plan.hpp"

namespace libloop::network {
namespace {

// What counts as not small.
constexpr double kelvin = 1.0, flow_size = 1e-3;  // K, kg/s

std::span<const double> span_of(const math::Vector& x, int count) { return {x.data(), at(count)}; }

}  // namespace

Motion::Motion(Circuit& circuit, std::vector<Rider> riders, double tolerance, double origin,
               int uncounted)
    : circuit_(circuit),
      riders_(std::move(riders)),
      tolerance_(tolerance),
      unknowns_(circuit.unknowns()),
      states_(circuit.states()),
      uncounted_(uncounted),
      linear_(circuit, Linear::Part::all) {
  speed_.assign(at(states_), 0.0);
  own_.assign(at(states_), 0.0);
  const int n = size();
  mass_ = Vector::Zero(n);
  origin_ = Vector::Zero(n);
  floor_ = Vector::Constant(n, flow_size);
  for (int i = circuit.state_row(0); i < unknowns_; ++i) {
    const bool aux = i >= circuit.aux_row(0) && i < circuit.aux_row(circuit.auxiliaries());
    if (!aux) origin_[i] = origin;
    floor_[i] = kelvin;
  }
  mass_.segment(circuit.state_row(0), states_).setOnes();
  for (std::size_t r = 0; r < riders_.size(); ++r) {
    const int i = unknowns_ + static_cast<int>(r);
    const Rider::Kind kind = riders_[r].kind;
    const bool follows = kind == Rider::Kind::value || kind == Rider::Kind::lagged;
    mass_[i] = kind == Rider::Kind::value ? 0.0 : 1.0;
    gain_.push_back(kind == Rider::Kind::lagged ? 1.0 / riders_[r].lag : 1.0);
    decay_.push_back(follows ? gain_.back() : 0.0);
    floor_[i] = riders_[r].size;
    origin_[i] = riders_[r].origin;
  }
  find_terms();
}

// Which slopes make the gradients.
void Motion::find_terms() {
  const Plan& plan = circuit_.plan();
  const int branches = static_cast<int>(circuit_.branches().size());
  std::vector<std::vector<std::pair<int, double>>> loops_of(at(branches));
  for (int l = 0; l < circuit_.loops(); ++l) {
    for (const Step& step : loop_of(circuit_.forest(), circuit_.edges(), l)) {
      loops_of[at(step.edge)].emplace_back(l, step.sign);
    }
  }
  answers_.resize(at(circuit_.answers()));
  for (std::size_t p = 0; p < plan.places.size(); ++p) {
    const Place& place = plan.places[p];
    const int answer = answer_of(circuit_, place.row), state = state_of(circuit_, place.row);
    std::vector<Term>* terms = nullptr;
    if (answer >= 0) terms = &answers_[at(answer)];
    if (state >= 0 && state != uncounted_) terms = &stored_;
    if (terms == nullptr) continue;
    const int index = static_cast<int>(p);
    if (place.column >= branches) {
      terms->push_back({index, place.column - branches + circuit_.loops(), 1.0});
      continue;
    }
    for (const auto& [loop, sign] : loops_of[at(place.column)]) {
      terms->push_back({index, loop, sign});
    }
  }
}

void Motion::set(Course course) {
  course_ = std::move(course);
  moved_ = course_.value;
  circuit_.prepare(course_.moved, moved_);
  prepared_for_ = course_.begin;
}

void Motion::move_to(double t) {
  if (course_.moved.empty() || t == prepared_for_) return;
  for (std::size_t i = 0; i < moved_.size(); ++i) {
    moved_[i] = course_.value[i] + course_.rate[i] * (t - course_.begin);
  }
  circuit_.prepare(course_.moved, moved_);
  prepared_for_ = t;
}

// f from the values of the last evaluation.
void Motion::fill(double t, const Vector& x, Vector& f) {
  ++evaluations_;
  f.resize(size());
  const double since = t - course_.begin;
  std::fill(own_.begin(), own_.end(), 0.0);
  double own = 0.0;
  for (const OwnHeat& o : course_.own_heat) {
    const double over = x[circuit_.state_row(o.state)] - (o.reference + o.reference_rate * since);
    const double heat = (o.slope + o.slope_rate * since) * over;
    own_[at(o.state)] += heat;
    own += heat;
  }
  double stored = 0.0;
  for (int i = 0; i < unknowns_; ++i) f[i] = work_.residual[at(i)];
  for (int s = 0; s < states_; ++s) {
    double& heat = f[circuit_.state_row(s)];
    heat += own_[at(s)];
    if (s != uncounted_) stored += heat;
    heat /= work_.capacity[at(s)];
    speed_[at(s)] = heat;
  }
  for (std::size_t r = 0; r < riders_.size(); ++r) {
    const Rider& rider = riders_[r];
    const int i = unknowns_ + static_cast<int>(r);
    const double answer = rider.kind == Rider::Kind::stored
                              ? stored
                              : rider.value(work_.answer) + (rider.with_own_heat ? own : 0.0);
    f[i] = gain_[r] * answer - decay_[r] * x[i];
  }
}

void Motion::evaluate(double t, const Vector& x, Vector& f) {
  move_to(t);
  circuit_.evaluate(span_of(x, unknowns_), Slopes::none, work_);
  fill(t, x, f);
}

void Motion::linearise(double t, const Vector& x, Vector& f, Vector& dfdt) {
  move_to(t);
  circuit_.evaluate(span_of(x, unknowns_), Slopes::in_time, work_);
  fill(t, x, f);
  capacity_ = work_.capacity;  // later stages have their own
  // d(heat/C) = (d heat - speed dC)/C; the rows stay those of heat.
  slope_ = work_.slope;
  for (const Stored& s : circuit_.plan().stored) {
    slope_[at(s.to)] -= speed_[at(s.state)] * work_.slope[at(s.from)];
  }
  const double since = t - course_.begin;
  for (const OwnHeat& o : course_.own_heat) {
    slope_[at(circuit_.plan().own_state[at(o.state)])] += o.slope + o.slope_rate * since;
  }
  find_gradients(t);
  add_rates(t, x, dfdt);
}

void Motion::add_terms(const std::vector<Term>& terms, double weight, std::size_t rider) {
  const auto r = static_cast<Eigen::Index>(rider);
  for (const Term& t : terms) {
    gradient_(r, t.unknown) += weight * t.sign * work_.slope[at(t.place)];
  }
}

// Slopes of what the riders tell by the unknowns.
void Motion::find_gradients(double t) {
  gradient_.setZero(static_cast<Eigen::Index>(riders_.size()), unknowns_);
  const double since = t - course_.begin;
  for (std::size_t r = 0; r < riders_.size(); ++r) {
    const Rider& rider = riders_[r];
    if (rider.kind == Rider::Kind::stored) {
      add_terms(stored_, 1.0, r);
    } else {
      for (const auto& [answer, slope] : rider.slopes(work_.answer)) {
        add_terms(answers_[at(answer)], slope, r);
      }
      if (!rider.with_own_heat) continue;
    }
    for (const OwnHeat& o : course_.own_heat) {
      if (rider.kind == Rider::Kind::stored && o.state == uncounted_) continue;
      gradient_(static_cast<Eigen::Index>(r), circuit_.state_row(o.state)) +=
          o.slope + o.slope_rate * since;
    }
  }
}

// df/dt at the same x.
void Motion::add_rates(double t, const Vector& x, Vector& dfdt) {
  dfdt.setZero(size());
  if (course_.moved.empty() && course_.own_heat.empty()) return;
  circuit_.rates(span_of(x, unknowns_), course_.moved, course_.rate, work_, rates_);
  const double since = t - course_.begin;
  double own = 0.0;
  for (const OwnHeat& o : course_.own_heat) {
    const double over = x[circuit_.state_row(o.state)] - (o.reference + o.reference_rate * since);
    const double heat = o.slope_rate * over - (o.slope + o.slope_rate * since) * o.reference_rate;
    rates_.residual[at(circuit_.state_row(o.state))] += heat;
    own += heat;
  }
  double stored = 0.0;
  for (int i = 0; i < unknowns_; ++i) dfdt[i] = rates_.residual[at(i)];
  for (int s = 0; s < states_; ++s) {
    double& heat = dfdt[circuit_.state_row(s)];
    if (s != uncounted_) stored += heat;
    heat = (heat - speed_[at(s)] * rates_.capacity[at(s)]) / work_.capacity[at(s)];
  }
  for (std::size_t r = 0; r < riders_.size(); ++r) {
    const Rider& rider = riders_[r];
    double rate = rider.with_own_heat ? own : 0.0;
    if (rider.kind == Rider::Kind::stored) {
      rate = stored;
    } else {
      for (const auto& [answer, slope] : rider.slopes(work_.answer)) {
        rate += slope * rates_.answer[at(answer)];
      }
    }
    dfdt[unknowns_ + static_cast<int>(r)] = gain_[r] * rate;
  }
}

bool Motion::factor(double shift) {
  shift_ = shift;
  right_ = slope_;
  for (int s = 0; s < states_; ++s) {
    right_[at(circuit_.plan().own_state[at(s)])] -= shift * capacity_[at(s)];
  }
  return linear_.factor(right_);
}

void Motion::solve(Vector& right) {
  right_.assign(at(unknowns_), 0.0);
  for (int i = 0; i < unknowns_; ++i) right_[at(i)] = -right[i];
  for (int s = 0; s < states_; ++s) {
    right_[at(circuit_.state_row(s))] *= capacity_[at(s)];
  }
  linear_.solve(right_, step_);
  for (int i = 0; i < unknowns_; ++i) right[i] = step_[at(i)];
  told_.noalias() = gradient_ * right.head(unknowns_);
  for (std::size_t r = 0; r < riders_.size(); ++r) {
    const int i = unknowns_ + static_cast<int>(r);
    right[i] = (right[i] + gain_[r] * told_[static_cast<Eigen::Index>(r)]) /
               (mass_[i] * shift_ + decay_[r]);
  }
}

double Motion::error(const Vector& before, const Vector& after, const Vector& error) const {
  double worst = 0.0;
  for (Eigen::Index i = 0; i < error.size(); ++i) {
    const double size =
        floor_[i] + std::max(std::abs(before[i] - origin_[i]), std::abs(after[i] - origin_[i]));
    const double share = std::abs(error[i]) / (tolerance_ * size);
    if (!(share <= worst)) worst = share;  // NaN too
  }
  return worst;
}

Motion::Vector Motion::start(double t, std::span<const double> x, const Vector& before) {
  move_to(t);
  Vector all = Vector::Zero(size());
  for (int i = 0; i < unknowns_; ++i) all[i] = x[at(i)];
  circuit_.evaluate(x, Slopes::none, work_);
  Vector f;
  fill(t, all, f);
  const bool fresh = before.size() == 0;
  for (std::size_t r = 0; r < riders_.size(); ++r) {
    const int i = unknowns_ + static_cast<int>(r);
    // What only follows its answer stands at it; the rest goes on, or begins.
    const bool stands = decay_[r] > 0.0 && (fresh || mass_[i] == 0.0);
    all[i] = stands ? f[i] / decay_[r] : fresh ? 0.0 : before[i];
  }
  return all;
}

std::string Motion::culprit(double t, const Vector& x) {
  Vector f, rate;
  linearise(t, x, f, rate);
  for (int i = 0; i < size(); ++i) {
    if (std::isfinite(f[i]) && std::isfinite(rate[i])) continue;
    return i < unknowns_ ? circuit_.name(i) : std::string("what is read");
  }
  return {};
}

}  // namespace libloop::network
