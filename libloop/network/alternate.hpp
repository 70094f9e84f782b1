// The patient way to an operating point: flows at given temperatures, temperatures at given
// flows, in turn.
//
// The flows are the minimum of a content and always found; at given flows the temperatures
// are those of a network of heat, nearly linear. What one does to the other is weak: warm
// coolant flows a little faster. So the turns come closer where Newton's steps on
// everything at once run to and fro over flows that change their direction.
#pragma once

#include <vector>

#include "libloop/network/solve.hpp"

namespace libloop::network {

// Takes turns until the worst residual is below `enough`, or turns bring nothing more.
Summary alternate(const Circuit& circuit, const SolveOptions& options, double enough,
                  std::vector<double>& x, Evaluation& work);

}  // namespace libloop::network
