// Solves many random coolers and loops of any shape and counts how it went: not a test, a
// wide look. Prints one line each: kind, how many, how each ended, steps at the median, at
// the 99.9 % point and at most, and how many answers are not finite.
//
//   libloop_random [how many of each]
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <map>
#include <thread>
#include <vector>

#include "support/coolers.hpp"

using namespace libloop;
using libloop::testing::Case;

namespace {

struct Tally {
  std::map<std::string, long> reasons;
  std::vector<int> steps;
  long not_finite = 0;

  void add(const OperatingPoint& p) {
    ++reasons[p.summary.reason];
    if (p.summary.usable) steps.push_back(p.summary.iterations);
    const bool finite = std::all_of(p.answer.begin(), p.answer.end(),
                                    [](double value) { return std::isfinite(value); });
    not_finite += finite ? 0 : 1;
  }
  void add(const Tally& other) {
    for (const auto& [reason, count] : other.reasons) reasons[reason] += count;
    steps.insert(steps.end(), other.steps.begin(), other.steps.end());
    not_finite += other.not_finite;
  }
};

using Make = Case (*)(unsigned long long);

Tally solve_some(Make make, unsigned long long first, unsigned long long end,
                 unsigned long long stride) {
  Tally tally;
  for (unsigned long long seed = first; seed < end; seed += stride) {
    const Case c = make(seed);
    const Model model(c.cooler, c.bench);
    tally.add(Solver(model).solve_at(testing::draw(model, testing::random_duty(seed), seed)));
  }
  return tally;
}

void report(const char* kind, Make make, unsigned long long count) {
  constexpr unsigned long long threads = 2;
  std::vector<Tally> parts(threads);
  std::vector<std::thread> running;
  for (unsigned long long t = 0; t < threads; ++t) {
    running.emplace_back([&, t] { parts[t] = solve_some(make, t, count, threads); });
  }
  Tally all;
  for (unsigned long long t = 0; t < threads; ++t) {
    running[t].join();
    all.add(parts[t]);
  }
  std::sort(all.steps.begin(), all.steps.end());
  const auto steps_at = [&](double share) {
    if (all.steps.empty()) return 0;
    return all.steps[static_cast<std::size_t>(share * static_cast<double>(all.steps.size() - 1))];
  };
  fmt::print("{}\t{}", kind, count);
  for (const auto& [reason, times] : all.reasons) fmt::print("\t{} {}", reason, times);
  fmt::print("\tsteps {} {} {}\tnot finite {}\n", steps_at(0.5), steps_at(0.999), steps_at(1.0),
             all.not_finite);
}

}  // namespace

int main(int argc, char** argv) {
  const unsigned long long count = argc > 1 ? std::strtoull(argv[1], nullptr, 10) : 50000;
  report("coolers", testing::random_case, count);
  report("loops of any shape", testing::random_graph, count);
}
