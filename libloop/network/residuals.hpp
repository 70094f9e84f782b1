// How far a point is from solving a circuit, and how a solve ended.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "libloop/network/solve.hpp"

namespace libloop::network {

inline constexpr double least_drop = 1e-6;  // Pa: below, a loop counts as at rest

bool finite(const std::vector<double>& values);

double flow_residual(const Circuit& circuit, const Evaluation& work);
double heat_residual(const Circuit& circuit, const Evaluation& work, double load);
// Of auxiliaries and nodes.
double definition_residual(const Circuit& circuit, const Evaluation& work,
                           std::span<const double> x);
// The largest of heat, auxiliaries and nodes; flows aside.
double heat_balance(const Circuit& circuit, const Evaluation& work, double load,
                    std::span<const double> x);
// The largest of all, flows and heat, auxiliaries and nodes.
double worst_residual(const Circuit& circuit, const Evaluation& work, double load,
                      std::span<const double> x);

Summary ended(std::string reason, std::string why, int iterations, const Circuit& circuit,
              const Evaluation& work, const SolveOptions& options);

}  // namespace libloop::network
