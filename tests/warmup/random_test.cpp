// Random coolers over the whole range of every quantity: each warms up to its operating point,
// or there is none.
#include <doctest/doctest.h>

#include <cmath>
#include <map>
#include <string>

#include "libloop/warmup/warmup.hpp"
#include "support/amount.hpp"
#include "support/coolers.hpp"

using namespace libloop;

namespace {

void check_ended(const Trajectory& t, const Duty& duty) {
  CAPTURE(t.summary().why);
  const OperatingPoint& point = t.settled();
  if (!point.summary.usable) {
    CHECK(t.summary().reason == point.summary.reason);
    return;
  }
  // A point that exists, and that a chip leaves by itself.
  if (t.summary().reason == "runs_away") {
    CHECK(point.leakage_gain >= 1.0);
    return;
  }
  CAPTURE(point[Answer::rise]);
  CAPTURE(point.chip_temperature);
  CAPTURE(point.leakage_gain);
  CAPTURE(point[Answer::coolant_flow]);
  CAPTURE(point[Answer::air_flow]);
  CAPTURE(duty.load);
  CAPTURE(t.end());
  CAPTURE(t.at(Trace::rise, t.end()));
  CAPTURE(t.at(Trace::coolant_rise, t.end()));
  CAPTURE(t.settled_value(Trace::coolant_rise));
  CHECK(t.summary().usable);
  if (!t.summary().usable) return;
  CHECK(std::abs(t.at(Trace::rise, t.end()) - t.settled_value(Trace::rise)) < 0.0051);
  const Energy e = t.energy(t.end());
  CHECK(std::abs(e.in - e.out - e.stored) <= 1e-6 * (std::abs(e.in) + std::abs(e.out) + 1.0));
  CHECK(std::isfinite(t.at(Trace::coolant_rise, 0.5 * t.end())));
  CHECK(duty.load >= 0.0);
}

void warm_up_all(testing::Case (*make)(unsigned long long), int count, int cells) {
  std::map<std::string, int> reasons;
  int jumps = 0;
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
    check_ended(t, duty);
  }
  for (const auto& [reason, times] : reasons) MESSAGE(reason << ": " << times);
  MESSAGE("most steps: " << most_steps << ", jumps of flows: " << jumps);
  CHECK(reasons["no_step"] == 0);
  CHECK(reasons["too_long"] == 0);
  CHECK(reasons["not_finite"] == 0);
  CHECK(reasons["converged"] > 0.9 * count);
}

}  // namespace

TEST_CASE("random coolers warm up to their operating points") {
  warm_up_all(testing::random_case, testing::amount(5000, 200), usual_cells);
}

TEST_CASE("random loops of any shape warm up to their operating points") {
  warm_up_all(testing::random_graph, testing::amount(300, 30), 2);
}
