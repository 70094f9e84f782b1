// 2,000 random coolers over the whole range of every quantity: each solves, or is proved
// to have no answer; none is not finite.
#include <doctest/doctest.h>

#include <cmath>
#include <map>
#include <random>

#include "support/coolers.hpp"

using namespace libloop;

TEST_CASE("2,000 random coolers solve or are proved to have no answer") {
  std::map<std::string, int> reasons;
  int worst = 0;
  for (unsigned long long seed = 0; seed < 2000; ++seed) {
    CAPTURE(seed);
    const testing::Case c = testing::random_case(seed);
    const Model model(c.cooler, c.bench);
    std::mt19937_64 random(seed + 77);
    std::uniform_real_distribution<double> uniform;
    const Duty duty{.load = 400.0 * uniform(random),
                    .ambient = 283.15 + 25.0 * uniform(random),
                    .altitude = 3000.0 * uniform(random),
                    .fan = 1.2 * uniform(random),
                    .pump = 1.2 * uniform(random)};
    Solver solver(model);
    const OperatingPoint p = solver.solve_at(testing::draw(model, duty, seed));
    ++reasons[p.summary.reason];
    worst = std::max(worst, p.summary.iterations);
    for (const AnswerRow& row : answer_rows) CHECK(std::isfinite(p[row.answer]));
    if (!p.summary.usable) {
      // Proved by the gain, or the linear law of leakage itself has no meaning there.
      const bool runs_away = p.summary.reason == "runs_away" && p.leakage_gain >= 1.0;
      CHECK((runs_away || p.summary.reason == "leakage_law"));
    } else {
      CHECK(p.energy_residual < 1e-9);
    }
  }
  for (const auto& [reason, count] : reasons) MESSAGE(reason << ": " << count);
  MESSAGE("most iterations: " << worst);
  CHECK(reasons["converged"] > 1900);
}
