#include "libloop/evidence/reduce_point.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/text.hpp"
#include "libloop/evidence/correlated.hpp"
#include "libloop/evidence/heat_balance.hpp"
#include "libloop/evidence/rounding.hpp"
#include "libloop/evidence/steady.hpp"

namespace libloop {
namespace {

constexpr double shortest_step = 20.0;  // s; anything shorter is a change, not a step: judgement
constexpr std::size_t rows_before_a_cut = 2;  // a row may already hold some of what comes
constexpr double worth_telling = 0.1;         // K, of ambient movement: judgement

// What rounding leaves uncertain in the mean of a window.
double rounding_left(const Present& there, double step) {
  if (step <= 0.0 || there.value.empty()) return 0.0;
  const double scatter = trend_of(there.time, there.value).scatter;
  return rounding_of_mean(step, noise_before_rounding(there.value, scatter, step));
}

std::optional<double> mean_in(const Rows& rows, Channel channel, std::size_t begin,
                              std::size_t end) {
  const Present there = rows.channel(channel, begin, end);
  if (there.value.empty()) return {};
  double sum = 0.0;
  for (const double one : there.value) sum += one;
  return sum / static_cast<double>(there.value.size());
}

std::optional<double> level_in(const Rows& rows, std::size_t begin, std::size_t end) {
  const Present there = rows.channel(Channel::sound, begin, end);
  if (there.value.empty()) return {};
  double sum = 0.0;
  for (const double one : there.value) sum += std::pow(10.0, one / 10.0);
  return 10.0 * std::log10(sum / static_cast<double>(there.value.size()));
}

std::optional<double> coolant_in(const Rows& rows, std::size_t begin, std::size_t end) {
  const auto hot = mean_in(rows, Channel::coolant_hot, begin, end);
  const auto cold = mean_in(rows, Channel::coolant_cold, begin, end);
  if (hot && cold) return (*hot + *cold) / 2.0;
  const auto one = mean_in(rows, Channel::coolant, begin, end);
  return one ? one : hot ? hot : cold;
}

MeasuredState state_in(const Rows& rows, double ambient, std::size_t begin, std::size_t end) {
  const auto mean = [&](Channel channel) { return mean_in(rows, channel, begin, end); };
  MeasuredState state;
  state.load = mean(Channel::load);
  state.preset = mean(Channel::preset);
  state.fan_speed = mean(Channel::fan_speed);
  state.fan_share = mean(Channel::fan_share);
  state.pump_speed = mean(Channel::pump_speed);
  state.pump_share = mean(Channel::pump_share);
  state.flow = mean(Channel::flow);
  if (const auto coolant = coolant_in(rows, begin, end)) state.coolant_rise = *coolant - ambient;
  state.sound = level_in(rows, begin, end);
  return state;
}

std::optional<MeanReading> reading_in(const Rows& rows, Channel channel, std::size_t begin,
                                      std::size_t end) {
  const Present there = rows.channel(channel, begin, end);
  if (there.value.size() < 3) return {};
  const Mean mean = mean_of(there.time, there.value);
  return MeanReading{mean.value,
                     std::hypot(mean.u, rounding_left(there, rows.log.find(channel)->step))};
}

std::optional<HeatBalance> balance_in(const Rows& rows, std::size_t begin, std::size_t end,
                                      const Instruments<double>& instruments,
                                      const ReduceOptions& options) {
  const auto load = reading_in(rows, Channel::load, begin, end);
  const auto flow = reading_in(rows, Channel::flow, begin, end);
  const auto hot = reading_in(rows, Channel::coolant_hot, begin, end);
  const auto cold = reading_in(rows, Channel::coolant_cold, begin, end);
  if (!load || !flow || !hot || !cold) return {};
  const fluid::Liquid<double> liquid =
      options.coolant ? *options.coolant : fluid::make_liquid(fluid::LiquidKind::water, 0.0);
  return heat_balance({*load, *flow, *hot, *cold}, instruments, liquid);
}

void tell_balance(ReducedPoint& point) {
  if (!point.balance || point.balance->closes) return;
  const HeatBalance& b = *point.balance;
  point.notes.push_back(fmt::format(
      "The heat balance does not close: the coolant carries {} W +- {} W, the bench reads {} W "
      "+- {} W. Check the {} first.",
      text::number(b.carried, 3), text::number(2.0 * b.u_carried, 2), text::number(b.load, 3),
      text::number(2.0 * b.u_load, 2), b.limiting));
}

struct Rounded {
  double chip = 0.0, ambient = 0.0;  // K
};

// The rows of the steady window; the rounding that counts depends on the noise within it, and the
// window on what rounding hides: twice is enough.
struct Chosen {
  SteadyWindow window;
  std::size_t begin = 0;
  Rounded rounded;
};

std::optional<Chosen> chosen(const Rows& rows, const Present& rise, std::size_t end,
                             const ReduceOptions& options) {
  SteadyRule rule{.creep = options.creep,
                  .shortest = options.shortest,
                  .confidence = options.confidence,
                  .rounding = 0.0};
  Chosen result;
  for (int pass = 0; pass < 2; ++pass) {
    const auto window = steady_window(rise.time, rise.value, rule);
    if (!window) return {};
    result.window = *window;
    result.begin = rise.row[window->first];
    result.rounded.chip =
        rounding_left(present(rows.log, rows.chip, result.begin, end), rows.chip.step);
    Present air;
    for (std::size_t i = window->first; i < rise.row.size(); ++i) {
      air.time.push_back(rise.time[i]);
      air.value.push_back(rows.ambient.at[rise.row[i]]);
    }
    result.rounded.ambient = rounding_left(air, rows.ambient.step);
    rule.rounding = std::hypot(result.rounded.chip, result.rounded.ambient);
    if (rule.rounding < 1e-3) break;  // K; dithered away
  }
  return result;
}

std::vector<Contribution> budget_of(const ReducedPoint& point, const Chosen& at, double moved,
                                    const Instruments<double>& instruments) {
  const SteadyWindow& w = at.window;
  std::vector<Contribution> budget = {
      {"scatter of the readings", w.mean.u, w.mean.freedom, Shared::no},
      {"still creeping", w.u_remaining, 0.0, Shared::no},
      {"ambient moving", rectangular(moved), 0.0, Shared::no},
      {"chip reading, rounding", at.rounded.chip, 0.0, Shared::no},
      {"ambient reading, rounding", at.rounded.ambient, 0.0, Shared::no},
      {"chip reading, accuracy", rectangular(instruments.chip.value), 0.0, Shared::bench},
      {"ambient reading, accuracy", rectangular(instruments.ambient.value), 0.0, Shared::bench}};
  if (point.state.load) {
    const double u = std::abs(point.rise) * rectangular(instruments.load.value);
    budget.push_back({"power reading, accuracy", u, 0.0, Shared::bench});
  }
  budget.erase(std::remove_if(budget.begin(), budget.end(),
                              [](const Contribution& one) { return one.u == 0.0; }),
               budget.end());
  return budget;
}

std::string too_short(const Rows& rows, const Step& step, double shortest) {
  const double seconds = rows.log.time[step.end - 1] - rows.log.time[step.begin];
  if (seconds < shortest_step) {
    return fmt::format("shorter than {} s: no step", text::number(shortest_step));
  }
  return fmt::format("shorter than a steady window of {} s", text::number(shortest));
}

}  // namespace

PointMade point_of(const Rows& rows, const Step& step, bool followed,
                   const Instruments<double>& instruments, const ReduceOptions& options) {
  PointMade made;
  made.end = step.end;
  if (followed && step.end - step.begin > 2 * rows_before_a_cut) made.end -= rows_before_a_cut;
  const double seconds = rows.log.time[step.end - 1] - rows.log.time[step.begin];
  const Present rise = rows.rise(step.begin, made.end);
  const auto at =
      seconds < shortest_step ? std::optional<Chosen>{} : chosen(rows, rise, made.end, options);
  if (!at) {
    const bool few = seconds >= std::max(shortest_step, 1.1 * options.shortest);
    made.why_not =
        few ? "too few readings of chip and ambient" : too_short(rows, step, options.shortest);
    return made;
  }
  made.begin = at->begin;
  const SteadyWindow& w = at->window;
  ReducedPoint point;
  point.start = rows.log.time[at->begin];
  point.end = rise.time.back();
  point.rise = w.mean.value;
  point.settled = w.settled;
  point.creep = w.creep;
  point.u_creep = w.u_creep;
  double air = 0.0;
  for (std::size_t i = w.first; i < rise.row.size(); ++i) {
    air += rows.ambient.at[rise.row[i]] / static_cast<double>(rise.row.size() - w.first);
  }
  point.ambient = air;
  point.chip = air + point.rise;
  point.state = state_in(rows, air, at->begin, made.end);
  const double moved = ambient_moved(rows.log, rows.ambient, at->begin, made.end, w.lag);
  point.budget = budget_of(point, *at, std::abs(moved), instruments);
  point.u = combined(point.budget);
  if (point.rise < 0.0 && point.state.load.value_or(0.0) > 0.0) {
    point.notes.push_back("The chip reads below ambient: check the sensors.");
  }
  if (!w.settled) point.notes.push_back(fmt::format("Not settled: {}.", w.why));
  if (std::abs(moved) > worth_telling) {
    point.notes.push_back(fmt::format(
        "The ambient {} by {} K within the {} s by which the chip comes behind.",
        moved > 0 ? "rose" : "fell", text::number(std::abs(moved), 2), text::number(w.lag, 2)));
  }
  point.balance = balance_in(rows, at->begin, made.end, instruments, options);
  tell_balance(point);
  made.point = std::move(point);
  return made;
}

}  // namespace libloop
