#include "libloop/warmup/run.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/model/stable_points.hpp"
#include "libloop/network/plan.hpp"
#include "libloop/network/solve.hpp"
#include "libloop/network/stability.hpp"
#include "libloop/warmup/riders.hpp"

namespace libloop {
namespace {

constexpr double first_step = 5e-3, least_step = 1e-9;  // s
constexpr double month = 30.0 * 86400.0;
// K: beyond, nothing of this kind exists any more.
constexpr double too_hot = 1800.0, too_cold = 150.0;
constexpr int most_steps = 200000, most_jumps = 200;

}  // namespace

Run::Run(const Model::Setup& setup, Built& built, const Leakage& leakage, const Schedule& schedule,
         const WarmupOptions& options, std::vector<double> start)
    : setup_(setup),
      built_(built),
      leakage_(leakage),
      schedule_(schedule),
      options_(options),
      motion_(built.circuit, riders_of(setup, built, schedule.segments.front().values),
              options.tolerance,
              schedule.segments.front().values[static_cast<std::size_t>(setup.duty[1])],
              built.surroundings),
      x_(std::move(start)) {}

void Run::solve(Trajectory::Data& data) {
  data_ = &data;
  data.unknowns = motion_.unknowns();
  data.last_change = schedule_.segments.back().begin;
  data.summary.usable = true;
  data.summary.reason = "converged";
  data.summary.why = "the warm-up was followed to its end";
  for (const Segment& segment : schedule_.segments) {
    const bool final = &segment == &schedule_.segments.back();
    last_ = final && options_.duration <= 0.0;
    double end = final ? segment.begin + month : segment.end;
    if (options_.duration > 0.0) end = final ? options_.duration : std::min(end, options_.duration);
    // Of a sample only the last segment is asked for.
    if (final && options_.quick) data.pieces.clear();
    if (segment.begin >= end) break;
    if (!go(segment, end)) break;
  }
  data.evaluations = motion_.evaluations();
}

bool Run::fail(std::string reason, std::string why) {
  data_->summary.usable = false;
  data_->summary.reason = std::move(reason);
  data_->summary.why = std::move(why);
  return false;
}

bool Run::go(const Segment& segment, double end) {
  built_.circuit.prepare(segment.values);
  motion_.set(segment.course);
  several_ = several_possible(built_);
  t_ = segment.begin;
  if (segment.step && !find_flows(segment)) return false;
  z_ = motion_.start(t_, x_, z_);
  if (leaks_below_nothing(segment)) return fail_leakage();
  // Where nothing jumps, the last step fits about as well as ever.
  Ended ended = integrate(segment, end, segment.step ? first_step : std::max(first_step, step_));
  while (ended == Ended::jumped) ended = integrate(segment, end, first_step);
  x_.assign(z_.data(), z_.data() + motion_.unknowns());
  return ended == Ended::covered;
}

// Flows and what else follows temperatures at once, at the states of x_.
bool Run::find_flows(const Segment& segment) {
  network::Evaluation work;
  network::SolveOptions options;
  options.load = std::max(1.0, segment.values[static_cast<std::size_t>(setup_.duty[0])]);
  const network::Summary found = network::follow(built_.circuit, options, x_, work);
  if (found.usable) return true;
  return fail(found.reason, fmt::format("at {:.6g} s {}", t_, found.why));
}

Run::Ended Run::integrate(const Segment& segment, double end, double first) {
  math::Controlled control(least_step);
  math::Dense dense{boost::reference_wrapper<math::Controlled>(control)};
  dense.initialize(z_, t_, std::min(first, end - t_));
  const Ended ended = step_to(segment, end, control, dense);
  data_->rejected += control.rejected();
  return ended;
}

Run::Ended Run::step_to(const Segment& segment, double end, const math::Controlled& control,
                        math::Dense& dense) {
  while (t_ < end) {
    // A last step exactly to the end, and none that is too short for a clock.
    if (t_ + 1.1 * dense.current_time_step() > end) dense.initialize(z_, t_, end - t_);
    try {
      dense.do_step(boost::reference_wrapper<network::Motion>(motion_));
    } catch (const math::NoStep&) {
      return recover(segment);
    }
    record(end, control.stepper(), dense);
    if (!makes_sense(segment)) return Ended::failed;
    if (last_ && settled()) return Ended::covered;
    if (several_ && !flows_hold()) return recover(segment);
  }
  if (!last_) return Ended::covered;
  fail("too_long", "it was not settled after 30 days");
  return Ended::failed;
}

// Takes over the step just made.
void Run::record(double end, const math::Rosenbrock& stepper, const math::Dense& dense) {
  const double to = dense.current_time();
  const double reached = end - to < 1e-12 * std::max(1.0, end) ? end : to;
  data_->pieces.push_back({t_, reached, z_, dense.current_state(), stepper.p(), stepper.q()});
  if (data_->steps.empty()) data_->steps.push_back(t_);
  data_->steps.push_back(reached);
  step_ = reached - t_;
  t_ = reached;
  z_ = dense.current_state();
}

bool Run::makes_sense(const Segment& segment) {
  if (beyond_sense()) {
    return fail("beyond_sense",
                fmt::format("after {:.4g} s a temperature is one that such parts never have", t_));
  }
  if (leaks_below_nothing(segment)) return fail_leakage();
  if (static_cast<int>(data_->steps.size()) <= most_steps) return true;
  return fail("too_long",
              fmt::format("at {:.6g} s the steps became too many: a profile of fewer rows, some "
                          "ten thousand, can be followed",
                          t_));
}

// Whether the flows at z_ are those a small disturbance leaves alone.
bool Run::flows_hold() {
  x_.assign(z_.data(), z_.data() + motion_.unknowns());
  network::Evaluation work;
  built_.circuit.evaluate(x_, network::Slopes::by_unknown, work);
  return !network::any_falls(built_.circuit, work.slope) ||
         network::flows_stable(built_.circuit, x_, work);
}

// Where no step holds, the flows may have come to the end of what balances (a fan falls into
// its stall): they jump to where they balance again.
Run::Ended Run::recover(const Segment& segment) {
  const std::string culprit = motion_.culprit(t_, z_);
  if (!culprit.empty()) {
    fail("not_finite", fmt::format("after {:.6g} s the balance of {} is not finite", t_, culprit));
    return Ended::failed;
  }
  x_.assign(z_.data(), z_.data() + motion_.unknowns());
  const std::vector<double> before = x_;
  if (++jumps_ > most_jumps || !find_flows(segment) || !moved(before)) {
    fail("no_step", fmt::format("no step holds after {:.6g} s", t_));
    return Ended::failed;
  }
  z_ = motion_.start(t_, x_, z_);
  data_->notes.push_back({Note::Kind::state, "flows_jump",
                          fmt::format("after {:.3g} s flows jump: a machine passes the steep part "
                                      "of its curve",
                                      t_),
                          "fan"});
  return Ended::jumped;
}

// Whether any flow of x_ is another than that of `before`.
bool Run::moved(const std::vector<double>& before) const {
  constexpr double least = 1e-6;  // of the flow, and kg/s
  for (std::size_t l = 0; l < static_cast<std::size_t>(built_.circuit.loops()); ++l) {
    if (std::abs(x_[l] - before[l]) > least * (std::abs(before[l]) + least)) return true;
  }
  return false;
}

bool Run::fail_leakage() {
  return fail("leakage_law",
              fmt::format("at {:.4g} s the stated leakage slope gives a die negative power: it is "
                          "too steep for a chip that cold",
                          t_));
}

// Whether a die is so far below the temperature its power is stated at that the law of leakage
// takes all of it away.
bool Run::leaks_below_nothing(const Segment& segment) const {
  const std::vector<double> x(z_.data(), z_.data() + motion_.unknowns());
  if (leakage_.at_reference()) return leakage_.coldest_power(x, segment.values) < 0.0;
  const std::vector<double> slopes = leakage_.slopes(segment.values);
  for (const network::OwnHeat& own : segment.course.own_heat) {
    const double reference = own.reference + own.reference_rate * (t_ - segment.begin);
    const double kelvin = z_[built_.circuit.state_row(own.state)];
    if (1.0 + slopes[static_cast<std::size_t>(own.state)] * (kelvin - reference) < 0.0) return true;
  }
  return false;
}

bool Run::beyond_sense() const {
  for (int s = 0; s < built_.circuit.states(); ++s) {
    const double kelvin = z_[built_.circuit.state_row(s)];
    if (kelvin > too_hot || kelvin < too_cold) return true;
  }
  return false;
}

// Everything within reach of its settled value. What hardly exchanges heat at all (coolant in a
// loop that stands still) keeps nothing waiting.
bool Run::settled() const {
  constexpr double idle = 1e6;  // s, about a fortnight
  if (!schedule_.settled.summary.usable) return false;
  for (int s = 0; s < built_.circuit.states(); ++s) {
    const int row = built_.circuit.state_row(s);
    const double off = std::abs(z_[row] - schedule_.settled_at[static_cast<std::size_t>(row)]);
    const double speed = std::abs(motion_.speed()[static_cast<std::size_t>(s)]);
    if (off > options_.settled_within && off < idle * speed) return false;
  }
  for (std::size_t c = 0; c < data_->settled_chips.size(); ++c) {
    const double off = std::abs(z_[data_->chip_row(c)] - data_->settled_chips[c]);
    if (off > options_.settled_within) return false;
  }
  return true;
}

}  // namespace libloop
