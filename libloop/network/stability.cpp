#include "libloop/network/stability.hpp"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>

#include "libloop/network/solve.hpp"

namespace libloop::network {
namespace {

// A slope may vanish (a drop of zero, a quadratic law at rest): it counts as this part of
// the largest, and at least this much.
constexpr double least_share = 1e-10;
constexpr double least_slope = 1e-4;  // Pa s/kg

std::vector<int> falling_branches(const Circuit& circuit, std::span<const double> slope) {
  std::vector<int> all;
  const std::vector<int>& own = circuit.plan().own_slope;
  for (std::size_t b = 0; b < own.size(); ++b) {
    if (slope[at(own[b])] < 0.0) all.push_back(static_cast<int>(b));
  }
  return all;
}

}  // namespace

std::vector<double> turned_up(const Circuit& circuit, std::span<const double> slope) {
  std::vector<double> up(slope.begin(), slope.end());
  double largest = 0.0;
  for (const int place : circuit.plan().own_slope) {
    largest = std::max(largest, std::abs(up[at(place)]));
  }
  const double least = std::max(least_share * largest, least_slope);
  for (const int place : circuit.plan().own_slope) {
    up[at(place)] = std::max(std::abs(up[at(place)]), least);
  }
  return up;
}

bool any_falls(const Circuit& circuit, std::span<const double> slope) {
  const std::vector<int>& own = circuit.plan().own_slope;
  return std::any_of(own.begin(), own.end(), [&](int p) { return slope[at(p)] < 0.0; });
}

Falling falling(const Circuit& circuit, std::span<const double> slope, Linear& linear) {
  const std::vector<double> up = turned_up(circuit, slope);
  linear.factor(up);
  const std::vector<int> branches = falling_branches(circuit, slope);
  const auto n = static_cast<Eigen::Index>(branches.size());
  if (n == 0) return {};
  Eigen::MatrixXd feedback(n, n);
  Eigen::VectorXd root(n);
  std::vector<std::vector<double>> flows;
  for (const int b : branches) {
    const std::size_t place = at(circuit.plan().own_slope[at(b)]);
    root[static_cast<Eigen::Index>(flows.size())] = std::sqrt(up[place] - slope[place]);
    std::vector<double> push(circuit.branches().size(), 0.0);
    push[at(b)] = 1.0;
    flows.push_back(linear.solve_wide(push));
  }
  for (Eigen::Index i = 0; i < n; ++i) {
    for (Eigen::Index j = 0; j < n; ++j) {
      const double flow =
          flows[static_cast<std::size_t>(j)][at(branches[static_cast<std::size_t>(i)])];
      feedback(i, j) = root[i] * flow * root[j];
    }
  }
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> eigen(feedback);
  Falling result;
  result.gain = eigen.eigenvalues()[n - 1];
  const Eigen::VectorXd share = eigen.eigenvectors().col(n - 1).cwiseProduct(root);
  result.direction.assign(circuit.branches().size(), 0.0);
  for (Eigen::Index i = 0; i < n; ++i) {
    for (std::size_t b = 0; b < result.direction.size(); ++b) {
      result.direction[b] += share[i] * flows[static_cast<std::size_t>(i)][b];
    }
  }
  return result;
}

double falling_gain(const Circuit& circuit, std::span<const double> x, Evaluation& work) {
  circuit.evaluate(x, Slopes::by_unknown, work);
  if (!any_falls(circuit, work.slope)) return 0.0;
  Linear linear(circuit, Linear::Part::flows);
  return falling(circuit, work.slope, linear).gain;
}

bool flows_stable(const Circuit& circuit, std::span<const double> x, Evaluation& work) {
  return falling_gain(circuit, x, work) < 1.0;
}

}  // namespace libloop::network
