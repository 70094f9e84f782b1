// Random coolers and loops of any shape over the whole range of every quantity: each solves,
// or is proved to have no answer; none is not finite.
#include <doctest/doctest.h>

#include <cmath>
#include <map>

#include "support/coolers.hpp"

using namespace libloop;
using libloop::testing::Case;

namespace {

// Proved by the gain, or the linear law of leakage itself has no meaning there.
bool proved(const OperatingPoint& p) {
  const bool runs_away = p.summary.reason == "runs_away" && p.leakage_gain >= 1.0;
  return runs_away || p.summary.reason == "leakage_law" || p.summary.reason == "heat_stays";
}

// How often each reason ended a solve.
std::map<std::string, int> solve_all(Case (*make)(unsigned long long), unsigned long long count) {
  std::map<std::string, int> reasons;
  int worst = 0;
  for (unsigned long long seed = 0; seed < count; ++seed) {
    CAPTURE(seed);
    const Case c = make(seed);
    const Model model(c.cooler, c.bench);
    Solver solver(model);
    const OperatingPoint p =
        solver.solve_at(testing::draw(model, testing::random_duty(seed), seed));
    ++reasons[p.summary.reason];
    worst = std::max(worst, p.summary.iterations);
    CAPTURE(p.summary.why);
    for (const AnswerRow& row : answer_rows) CHECK(std::isfinite(p[row.answer]));
    if (p.summary.usable) {
      CHECK(p.energy_residual < 1e-9);
    } else {
      CHECK(proved(p));
    }
  }
  for (const auto& [reason, times] : reasons) MESSAGE(reason << ": " << times);
  MESSAGE("most iterations: " << worst);
  return reasons;
}

}  // namespace

TEST_CASE("2,000 random coolers solve or are proved to have no answer") {
  CHECK(solve_all(testing::random_case, 2000)["converged"] > 1900);
}

// 50,000 of them in tests/speed.
TEST_CASE("500 random loops of any shape solve or are proved to have no answer") {
  CHECK(solve_all(testing::random_graph, 500)["converged"] > 460);
}

TEST_CASE("random loops: what enters every place leaves it, and slopes are those of the answers") {
  for (unsigned long long seed = 0; seed < 40; ++seed) {
    CAPTURE(seed);
    const Case c = testing::random_graph(seed);
    const Model model(c.cooler, c.bench);
    Solver solver(model);
    const std::vector<double> values =
        model.typical({.load = 150.0, .ambient = 296.15, .fan = 0.8, .pump = 0.9});
    const OperatingPoint p = solver.solve_at(values);
    if (!p.summary.usable) continue;
    std::map<std::pair<bool, std::string>, double> balance;
    for (const PartPoint& part : p.parts) {
      balance[{part.air, part.from}] -= part.flow;
      balance[{part.air, part.to}] += part.flow;
    }
    for (const auto& [place, sum] : balance) CHECK(std::abs(sum) < 1e-12);
    const Slopes slopes = solver.slopes();
    for (std::size_t q = seed % 7; q < values.size(); q += 17) {
      const double size = std::max(std::abs(values[q]), 1e-3), h = 1e-5 * size;
      const Row& row_of_q = *model.quantities()[q].row;
      if (values[q] - h < row_of_q.min || values[q] + h > row_of_q.max) continue;
      std::vector<double> moved = values;
      const auto answers = [&](double by) {
        moved[q] = values[q] + by;
        return solver.resolve(moved).answer;
      };
      const auto above = answers(h), below = answers(-h);
      CAPTURE(model.quantities()[q].name);
      for (const AnswerRow& row : answer_rows) {
        const auto k = static_cast<std::size_t>(row.answer);
        const double slope = slopes.at(row.answer, q) * size;
        const double difference = (above[k] - below[k]) / (2e-5);
        const double scale = std::abs(p.answer[k]) + std::abs(slope);
        CHECK(std::abs(slope - difference) <= 1e-4 * scale);
      }
    }
  }
}
