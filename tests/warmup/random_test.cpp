// Random coolers over the whole range of every quantity: each warms up to its operating point,
// or there is none.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <string>

#include "libloop/warmup/warmup.hpp"
#include "support/amount.hpp"
#include "support/coolers.hpp"

using namespace libloop;

namespace {

// Whether a chip takes heat up instead of giving it off: leakage, linear in its temperature, has
// no meaning so far from where it was read.
bool takes_heat(const Trajectory& t) {
  return std::any_of(t.steps().begin(), t.steps().end(),
                     [&](double time) { return t.at(Trace::load, time) < 0.0; });
}

void check_ended(const Trajectory& t) {
  const std::string& reason = t.summary().reason;
  const OperatingPoint& point = t.settled();
  CAPTURE(t.summary().why);
  CAPTURE(t.end());
  CAPTURE(point[Answer::rise]);
  CAPTURE(point.chip_temperature);
  CAPTURE(point.leakage_gain);
  if (!point.summary.usable) {
    CHECK(reason == point.summary.reason);
  } else if (reason == "leakage_law" || takes_heat(t)) {
    CHECK(reason == "leakage_law");
    CHECK(point[Answer::rise] > 40.0);  // it began far from where its load was read
  } else if (reason == "runs_away") {
    // A point that exists, and that the least disturbance drives the chip from.
    CHECK(point.leakage_gain >= 1.0);
  } else if (reason == "beyond_sense") {
    CHECK(point.chip_temperature > 1800.0);  // nor could the settled point be
  } else if (reason == "too_long") {
    // Near running away, or a branch in which coolant all but stands still.
    CHECK(std::abs(t.at(Trace::rise, t.end()) - point[Answer::rise]) < 0.1 * point[Answer::rise]);
  } else {
    CHECK(reason == "converged");
    CHECK(t.summary().usable);
    CHECK(std::abs(t.at(Trace::rise, t.end()) - point[Answer::rise]) < 0.0051);
    const Energy e = t.energy(t.end());
    CHECK(std::abs(e.in - e.out - e.stored) <= 1e-6 * (std::abs(e.in) + std::abs(e.out) + 1.0));
    CHECK(std::isfinite(t.at(Trace::coolant_rise, 0.5 * t.end())));
  }
}

void warm_up_all(testing::Case (*make)(unsigned long long), int count, int cells) {
  std::map<std::string, int> reasons;
  int jumps = 0, cold_chips = 0;
  std::size_t most_steps = 0;
  for (unsigned long long seed = 0; seed < static_cast<unsigned long long>(count); ++seed) {
    CAPTURE(seed);
    const testing::Case c = make(seed);
    const Model model(c.cooler, c.bench, cells);
    const Duty duty = testing::random_duty(seed);
    Warmup warmup(model);
    WarmupOptions options;
    options.tolerance = 1e-3;
    const Trajectory t = warmup.run_at(testing::draw(model, duty, seed), steady(duty), {}, options);
    ++reasons[t.summary().reason];
    most_steps = std::max(most_steps, t.steps().size());
    for (const Note& note : t.notes()) jumps += note.code == std::string("flows_jump") ? 1 : 0;
    cold_chips += takes_heat(t) ? 1 : 0;
    check_ended(t);
  }
  for (const auto& [reason, times] : reasons) MESSAGE(reason << ": " << times);
  MESSAGE("most steps: " << most_steps << ", jumps of flows: " << jumps
                         << ", leakage below zero: " << cold_chips);
  CHECK(reasons["no_step"] == 0);
  CHECK(reasons["too_long"] <= count / 100);
  CHECK(reasons["not_finite"] == 0);
  CHECK(reasons["converged"] > 0.75 * count);
}

}  // namespace

TEST_CASE("random coolers warm up to their operating points") {
  warm_up_all(testing::random_case, testing::amount(5000, 200), usual_cells);
}

TEST_CASE("random loops of any shape warm up to their operating points") {
  warm_up_all(testing::random_graph, testing::amount(300, 30), 2);
}
