// The coolers and benches over which identities are run: every example file, every
// generic bench, and variants that switch on what the examples do not use.
#pragma once

#include <string>
#include <vector>

#include "libloop/model/model.hpp"

namespace libloop::testing {

struct Case {
  std::string name;
  Cooler cooler;
  Bench bench;
};

// Examples on every generic bench and the example bench.
std::vector<Case> all_cases();
// Examples on one bench each, and the variants.
std::vector<Case> some_cases();

// A cooler and bench with every continuous quantity drawn over its whole range, and
// choices and counts at random.
Case random_case(unsigned long long seed);

// A loop of up to some 60 parts: radiators, plates, pumps (some the wrong way round, some
// that stand still), reservoirs, valves and hoses in series and parallel; fans before and
// behind cores, stacks, shrouds, meshes and a case. Values as in random_case.
Case random_graph(unsigned long long seed);

// Loads to 400 W, fans and pumps from a standstill to 120 %, 10 to 35 C, to 3,000 m.
Duty random_duty(unsigned long long seed);

// Every quantity of a model that is not exact, at random over its whole range.
std::vector<double> draw(const Model& model, const Duty& duty, unsigned long long seed);

}  // namespace libloop::testing
