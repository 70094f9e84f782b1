#include "libloop/evidence/budget.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "libloop/base/error.hpp"

namespace libloop {
namespace {

double square(double x) { return x * x; }

bool is_correlation(double r) { return std::abs(r) <= 1.0; }

void check_correlations(std::span<const double> r, std::size_t n) {
  if (r.size() != n * n) {
    refuse(Code::call, fmt::format("{} correlations for {} inputs.", r.size(), n),
           fmt::format("Give none, or {} by {} of them, row by row.", n, n));
  }
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t j = 0; j < n; ++j) {
      const bool one = i != j || r[i * n + j] == 1.0;
      if (is_correlation(r[i * n + j]) && r[i * n + j] == r[j * n + i] && one) continue;
      refuse(Code::call,
             fmt::format("Correlation {} of inputs {} and {} is none.", r[i * n + j], i + 1, j + 1),
             "Correlations lie between -1 and 1, are the same both ways, and 1 of an input with "
             "itself.");
    }
  }
}

void check_inputs(std::span<const double> x, std::span<const double> u) {
  if (x.size() != u.size()) {
    refuse(Code::call, fmt::format("{} uncertainties for {} inputs.", u.size(), x.size()),
           "Give one standard uncertainty for each input.");
  }
  for (std::size_t i = 0; i < u.size(); ++i) {
    if (std::isfinite(x[i]) && std::isfinite(u[i]) && u[i] >= 0.0) continue;
    refuse(Code::call, fmt::format("Input {} is {} with uncertainty {}.", i + 1, x[i], u[i]),
           "Values are finite; uncertainties are finite and not below zero.");
  }
}

// What the result moves by when input i does by its uncertainty (GUM 5.1.3, note 2).
std::vector<double> moves(const std::function<double(std::span<const double>)>& f,
                          std::span<const double> x, std::span<const double> u) {
  std::vector<double> at(x.begin(), x.end());
  std::vector<double> moved(x.size());
  for (std::size_t i = 0; i < x.size(); ++i) {
    at[i] = x[i] + u[i];
    const double above = f(at);
    at[i] = x[i] - u[i];
    moved[i] = (above - f(at)) / 2.0;
    at[i] = x[i];
    if (std::isfinite(moved[i])) continue;
    refuse(Code::call, fmt::format("The result is no number near input {} = {}.", i + 1, x[i]),
           "Give a function that is finite within one standard uncertainty of every input.");
  }
  return moved;
}

}  // namespace

double combined(std::span<const Contribution> budget) {
  double sum = 0.0;
  for (const Contribution& one : budget) sum += square(one.u);
  return std::sqrt(sum);
}

double combined(std::span<const Contribution> budget, Shared shared) {
  double sum = 0.0;
  for (const Contribution& one : budget) {
    if (one.shared == shared) sum += square(one.u);
  }
  return std::sqrt(sum);
}

double effective_freedom(std::span<const Contribution> budget) {
  double whole = 0.0, sum = 0.0;
  for (const Contribution& one : budget) {
    whole += square(one.u);
    if (one.freedom > 0.0) sum += square(square(one.u)) / one.freedom;
  }
  return sum > 0.0 ? square(whole) / sum : std::numeric_limits<double>::infinity();
}

double rectangular(double half_width) { return half_width / std::sqrt(3.0); }

double propagated(const std::function<double(std::span<const double>)>& f,
                  std::span<const double> x, std::span<const double> u, std::span<const double> r) {
  check_inputs(x, u);
  const std::size_t n = x.size();
  if (!r.empty()) check_correlations(r, n);
  const std::vector<double> moved = moves(f, x, u);
  double sum = 0.0, squares = 0.0;
  for (std::size_t i = 0; i < n; ++i) {
    squares += square(moved[i]);
    for (std::size_t j = 0; j < n; ++j) {
      const double correlation = r.empty() ? (i == j ? 1.0 : 0.0) : r[i * n + j];
      sum += moved[i] * moved[j] * correlation;
    }
  }
  if (sum < -1e-12 * squares) {
    refuse(Code::call, fmt::format("These correlations give a variance of {}.", sum),
           "They contradict one another; no set of readings has them.");
  }
  return std::sqrt(std::max(sum, 0.0));  // what is left below zero is rounding
}

}  // namespace libloop
