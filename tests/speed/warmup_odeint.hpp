// Boost.Odeint's rosenbrock4 for warmup.cpp, in a file of its own: uBLAS of Boost 1.74 is C++17.
#pragma once

#include <functional>
#include <vector>

struct OdeintSystem {
  std::function<void(const double* y, double* rate)> rates;
  std::function<void(const double* y, double* slopes)> jacobian;  // row-major
};

// Integrates from y at 0 and hands y at every whole second before `samples` to `tell`. Returns
// the number of steps.
long odeint_rosenbrock4(const OdeintSystem& system, const std::vector<double>& y, double tolerance,
                        int samples, const std::function<void(int second, const double* y)>& tell);
