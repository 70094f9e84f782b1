// The linear equations of one Newton step.
//
// Small circuits are solved for the flows of the independent loops, with one dense matrix.
// Large ones are solved for the flow of every branch and the pressure of every node beside
// the other unknowns, with a sparse one: its rows are local, where those of long loops are
// not. Both give the same steps.
#pragma once

#include <memory>
#include <span>
#include <vector>

#include "libloop/network/circuit.hpp"
#include "libloop/network/plan.hpp"

namespace libloop::network {

// Above about this number of unknowns the sparse form is quicker (tests/speed: a chain of
// 103 unknowns takes half the time dense, a bundle of 153 two thirds the time sparse).
inline constexpr int dense_limit = 140;

// Decides the form and finds the entries of the dense matrix.
void add_scatter(const Circuit& circuit, Plan& plan);

class Linear {
 public:
  enum class Part { flows, all };
  enum class Form { dense, sparse };

  Linear(const Circuit& circuit, Part part);
  Linear(const Circuit& circuit, Part part, Form form);
  ~Linear();
  Linear(Linear&&) noexcept;
  Linear& operator=(Linear&&) noexcept;

  // `slope` by place. False when the equations are singular to working precision.
  bool factor(std::span<const double> slope);
  // Slopes times step = right; both by unknown (flows: by loop).
  std::vector<double> solve(std::span<const double> right) const;
  void solve(std::span<const double> right, std::vector<double>& step) const;
  // The same with the right side of every row of places, and the step of every column:
  // branches instead of loops.
  std::vector<double> solve_wide(std::span<const double> right) const;
  // Transposed slopes times weight = gradient; gradient by column, weight by row.
  std::vector<double> solve_transposed(std::span<const double> gradient) const;

 private:
  struct Dense;
  struct Sparse;
  const Circuit* circuit_;
  std::unique_ptr<Dense> dense_;
  std::unique_ptr<Sparse> sparse_;
};

}  // namespace libloop::network
