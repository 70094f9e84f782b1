#include "libloop/warmup/run.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

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

double Run::load(const Segment& segment) const {
  return std::max(1.0, segment.values[static_cast<std::size_t>(setup_.duty[0])]);
}

bool Run::go(const Segment& segment, double end) {
  built_.circuit.prepare(segment.values);
  motion_.set(segment.course);
  several_ = several_possible(built_);
  if (segment.step && !follow(segment)) return false;
  z_ = motion_.start(segment.begin, x_, z_);
  if (leaks_below_nothing(segment, segment.begin)) return fail_leakage(segment.begin);
  while (z_.size() > 0) {
    const double from = data_->steps.empty() || data_->steps.back() < segment.begin
                            ? segment.begin
                            : data_->steps.back();
    if (from >= end) break;
    if (integrate(segment, end)) break;
    if (!data_->summary.usable) return false;
  }
  x_.assign(z_.data(), z_.data() + motion_.unknowns());
  return true;
}

// Flows and what else follows temperatures at once, at the states of x_.
bool Run::follow(const Segment& segment) {
  network::Evaluation work;
  network::SolveOptions options;
  options.load = load(segment);
  const network::Summary found = network::follow(built_.circuit, options, x_, work);
  if (found.usable) return true;
  return fail(found.reason, fmt::format("at {:.6g} s {}", segment.begin, found.why));
}

void Run::record(double begin, double end, const math::Vector& before, const math::Vector& after,
                 const math::Rosenbrock& stepper) {
  data_->pieces.push_back({begin, end, before, after, stepper.p(), stepper.q()});
  if (data_->steps.empty()) data_->steps.push_back(begin);
  data_->steps.push_back(end);
}

// True when the segment was covered. False: go on after a jump, or the summary tells why not.
bool Run::integrate(const Segment& segment, double end) {
  math::Controlled control(least_step);
  math::Dense dense{boost::reference_wrapper<math::Controlled>(control)};
  const double begin =
      data_->steps.empty() ? segment.begin : std::max(segment.begin, data_->steps.back());
  // Where nothing jumps, the last step fits about as well as ever.
  const bool smooth = !segment.step && begin == segment.begin;
  dense.initialize(z_, begin,
                   std::min(smooth ? std::max(first_step, step_) : first_step, end - begin));
  bool more = true;
  try {
    while (more && dense.current_time() < end) {
      const double t = dense.current_time();
      // A last step exactly to the end, and none that is too short for a clock.
      const double left = end - t;
      if (t + 1.1 * dense.current_time_step() > end) dense.initialize(z_, t, left);
      const auto [from, to] = dense.do_step(boost::reference_wrapper<network::Motion>(motion_));
      const double reached = end - to < 1e-9 * std::max(1.0, end) ? end : to;
      record(from, reached, z_, dense.current_state(), control.stepper());
      step_ = to - from;
      z_ = dense.current_state();
      if (reached == end) break;
      if (beyond_sense()) {
        return fail(
            "beyond_sense",
            fmt::format("after {:.4g} s a temperature is one that such parts never have", reached));
      }
      if (leaks_below_nothing(segment, reached)) return fail_leakage(reached);
      if (last_ && settled()) break;
      if (static_cast<int>(data_->steps.size()) > most_steps) {
        return fail(
            "too_long",
            fmt::format("at {:.6g} s the steps became too many: a profile of fewer rows, some "
                        "ten thousand, can be followed",
                        reached));
      }
      if (several_ && !flows_hold()) {
        more = recover(segment, reached);
        if (!more) return false;
        data_->rejected += control.rejected();
        return false;
      }
    }
  } catch (const math::NoStep&) {
    recover(segment, dense.current_time());
    return false;
  }
  data_->rejected += control.rejected();
  if (last_ && !settled()) {
    return fail("too_long", "it was not settled after 30 days");
  }
  return true;
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
bool Run::recover(const Segment& segment, double t) {
  const std::string culprit = motion_.culprit(t, z_);
  if (!culprit.empty()) {
    return fail("not_finite",
                fmt::format("after {:.6g} s the balance of {} is not finite", t, culprit));
  }
  x_.assign(z_.data(), z_.data() + motion_.unknowns());
  const std::vector<double> before = x_;
  if (++jumps_ > most_jumps || !follow(segment)) {
    return fail("no_step", fmt::format("no step holds after {:.6g} s", t));
  }
  double moved = 0.0;
  for (int l = 0; l < built_.circuit.loops(); ++l) {
    const auto i = static_cast<std::size_t>(l);
    moved = std::max(moved, std::abs(x_[i] - before[i]) / (std::abs(before[i]) + 1e-6));
  }
  if (moved < 1e-6) return fail("no_step", fmt::format("no step holds after {:.6g} s", t));
  z_ = motion_.start(t, x_, z_);
  data_->notes.push_back({Note::Kind::state, "flows_jump",
                          fmt::format("after {:.3g} s flows jump: a machine passes the steep part "
                                      "of its curve",
                                      t),
                          "fan"});
  return true;
}

bool Run::fail_leakage(double t) {
  return fail("leakage_law",
              fmt::format("at {:.4g} s the stated leakage slope gives a die negative power: it is "
                          "too steep for a chip that cold",
                          t));
}

// Whether a die is so far below the temperature its power is stated at that the law of leakage
// takes all of it away.
bool Run::leaks_below_nothing(const Segment& segment, double t) const {
  const std::vector<double> x(z_.data(), z_.data() + motion_.unknowns());
  if (leakage_.at_reference()) return leakage_.coldest_power(x, segment.values) < 0.0;
  const std::vector<double> slopes = leakage_.slopes(segment.values);
  for (const network::OwnHeat& own : segment.course.own_heat) {
    const double reference = own.reference + own.reference_rate * (t - segment.begin);
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
