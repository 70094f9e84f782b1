#include "libloop/files/log_step.hpp"

#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <numeric>
#include <vector>

namespace libloop::files {
namespace {

constexpr double millionth = 1e-6;
constexpr double largest = 1e9;           // beyond it differences are not counted
constexpr std::size_t most_kinds = 256;   // of differences
constexpr long long enough_changes = 12;  // judgement
constexpr double nearly_all = 0.98;       // judgement
constexpr double frequent = 0.10;         // judgement
constexpr int most_decimals = 4;          // more are no rounding anyone would notice

}  // namespace

void StepFinder::see(double value, int decimals) {
  decimals_ = std::max(decimals_, std::min(decimals, 6));
  if (any_ && value != last_ && std::abs(value - last_) < largest) {
    const long long difference = std::llround(std::abs(value - last_) / millionth);
    const auto found = counts_.find(difference);
    if (found != counts_.end()) {
      ++found->second;
      ++changes_;
    } else if (counts_.size() < most_kinds) {
      counts_.emplace(difference, 1);
      ++changes_;
    }
  }
  any_ = true;
  last_ = value;
}

// Whether nearly all differences are whole multiples of a step.
bool StepFinder::divides(double step, double tolerance) const {
  long long fit = 0;
  for (const auto& [difference, times] : counts_) {
    const double value = static_cast<double>(difference) * millionth;
    const double off = std::abs(value - std::round(value / step) * step);
    if (off <= tolerance && value > 0.5 * step) fit += times;
  }
  return static_cast<double>(fit) >= nearly_all * static_cast<double>(changes_);
}

double StepFinder::by_differences(double written) const {
  if (changes_ < enough_changes) return 0.0;
  const double exact = 0.6 * millionth;
  double best = 0.0;
  for (const auto& [difference, times] : counts_) {
    const double step = static_cast<double>(difference) * millionth;
    const bool often = static_cast<double>(times) >= frequent * static_cast<double>(changes_);
    if (often && step > best && divides(step, exact)) best = step;
  }
  // A converter's binary fractions, whose last figures are cut off.
  for (const double binary : {0.5, 0.25, 0.125, 0.0625}) {
    if (binary > best && binary >= 4.0 * written && divides(binary, written * 1.01)) {
      return binary;
    }
  }
  return best;
}

double StepFinder::step() const {
  if (!any_) return 0.0;
  const double written = std::pow(10.0, -decimals_);
  const double seen = by_differences(written);
  if (seen > written) return seen;
  return decimals_ <= most_decimals ? written : 0.0;
}

}  // namespace libloop::files
