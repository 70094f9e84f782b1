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

// Every quantity of a model that is not exact, at random over its whole range.
std::vector<double> draw(const Model& model, const Duty& duty, unsigned long long seed);

}  // namespace libloop::testing
