#include "libloop/network/ordered_lu.hpp"

#include <Eigen/OrderingMethods>
#include <Eigen/SparseCore>
#include <algorithm>
#include <cmath>
#include <utility>

namespace libloop::network {
namespace {

constexpr double least_pivot = 0.1;  // of the largest in its column

}  // namespace

bool OrderedLu::factor() {
  const int n = static_cast<int>(a_.rows());
  swapped_.resize(at(n));
  last_.resize(at(n));
  first_.resize(at(n));
  for (int k = 0; k < n; ++k) {
    double* pivot = &a_(0, k);
    int best = k;
    double largest = std::abs(pivot[k]);
    const double enough = largest / least_pivot;
    int last = k;
    for (int i = k + 1; i < n; ++i) {
      const double size = std::abs(pivot[i]);
      if (!(size == 0.0)) last = i;  // NaN too
      if (size > largest) {
        largest = size;
        best = i;
      }
    }
    if (!(largest > 0.0)) return false;
    if (largest <= enough) best = k;
    swapped_[at(k)] = best;
    if (best != k) a_.row(k).swap(a_.row(best));
    int first = 0;
    while (pivot[first] == 0.0) ++first;
    first_[at(k)] = first;
    const double inverse = 1.0 / pivot[k];
    for (int i = k + 1; i <= last; ++i) pivot[i] *= inverse;
    for (int j = k + 1; j < n; ++j) {
      double* column = &a_(0, j);
      const double above = column[k];
      if (above == 0.0) continue;
      for (int i = k + 1; i <= last; ++i) column[i] -= above * pivot[i];
    }
  }
  // Later swaps moved what stands left of them.
  for (int k = 0; k < n; ++k) {
    int& last = last_[at(k)];
    last = n - 1;
    while (last > k && a_(last, k) == 0.0) --last;
  }
  return true;
}

void OrderedLu::solve(double* b) const {
  const int n = static_cast<int>(a_.rows());
  for (int k = 0; k < n; ++k) std::swap(b[k], b[swapped_[at(k)]]);
  for (int k = 0; k < n; ++k) {
    const double* column = &a_(0, k);
    const double value = b[k];
    for (int i = k + 1; i <= last_[at(k)]; ++i) b[i] -= value * column[i];
  }
  for (int k = n - 1; k >= 0; --k) {
    const double* column = &a_(0, k);
    const double value = b[k] /= column[k];
    for (int i = first_[at(k)]; i < k; ++i) b[i] -= value * column[i];
  }
}

void OrderedLu::solve_transposed(double* b) const {
  const int n = static_cast<int>(a_.rows());
  for (int k = 0; k < n; ++k) {
    const double* column = &a_(0, k);
    double sum = b[k];
    for (int i = first_[at(k)]; i < k; ++i) sum -= column[i] * b[i];
    b[k] = sum / column[k];
  }
  for (int k = n - 1; k >= 0; --k) {
    const double* column = &a_(0, k);
    for (int i = k + 1; i <= last_[at(k)]; ++i) b[k] -= column[i] * b[i];
  }
  for (int k = n - 1; k >= 0; --k) std::swap(b[k], b[swapped_[at(k)]]);
}

std::vector<int> emptiest_order(int size, std::span<const Scatter> entries) {
  std::vector<Eigen::Triplet<double>> pattern;
  for (const Scatter& s : entries) pattern.emplace_back(s.target % size, s.target / size, 1.0);
  Eigen::SparseMatrix<double> matrix(size, size);
  matrix.setFromTriplets(pattern.begin(), pattern.end());
  Eigen::AMDOrdering<int>::PermutationType order;
  Eigen::AMDOrdering<int>()(matrix, order);
  // order.indices()[position] is the unknown.
  std::vector<int> position(at(size), 0);
  for (int p = 0; p < size; ++p) position[at(order.indices()[p])] = p;
  return position;
}

}  // namespace libloop::network
