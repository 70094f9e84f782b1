// Cells of coolant one behind the other: what every hose, plate and core pass has.
#pragma once

#include <utility>

#include "libloop/math/dual.hpp"
#include "libloop/network/circuit.hpp"

namespace libloop {

// Goes through `cells` cells in the direction of the flow. `cell(j)` gives the temperature
// at which coolant leaves cell j and the heat the cell gives away. Writes the heat into
// every cell (the inflow of the first is the circuit's) and the outlet of the whole; returns
// the heat given away by all.
template <class T, class X, class Cell>
T chain_cells(int cells, const X& flow, const T& stream, Cell&& cell, T* heat, T& outlet) {
  const bool forward = network::runs_forward(flow);
  T all(0.0);
  for (int step = 0; step < cells; ++step) {
    const int j = forward ? step : cells - 1 - step;
    const std::pair<T, T> leaving_and_given = cell(j);
    const auto& [leaving, given] = leaving_and_given;
    heat[j] = -given - stream * leaving;
    if (step > 0) heat[j] += stream * outlet;
    outlet = leaving;
    all += given;
  }
  return all;
}

}  // namespace libloop
