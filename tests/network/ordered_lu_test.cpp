#include "libloop/network/ordered_lu.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>

using libloop::network::emptiest_order;
using libloop::network::OrderedLu;
using libloop::network::Scatter;

namespace {

// Some diagonal entries are empty, and some entries are far larger than others: rows must swap.
Eigen::MatrixXd half_empty(int size, unsigned seed) {
  std::mt19937 random(seed);
  std::uniform_real_distribution<double> value(-1.0, 1.0), share(0.0, 1.0);
  Eigen::MatrixXd a = Eigen::MatrixXd::Zero(size, size);
  for (int i = 0; i < size; ++i) {
    a(i, (i + 1) % size) = 2.0 + value(random);
    if (share(random) > 0.3) a(i, i) = value(random);
    for (int j = 0; j < size; ++j) {
      if (share(random) < 0.15) a(i, j) += 10.0 * value(random);
    }
  }
  return a;
}

}  // namespace

// Reference: Eigen's dense factorisation with partial pivoting.
TEST_CASE("ordered_lu: solves as Eigen does, straight and transposed") {
  for (unsigned seed = 0; seed < 200; ++seed) {
    const int size = 1 + static_cast<int>(seed % 60);
    const Eigen::MatrixXd a = half_empty(size, seed);
    const Eigen::PartialPivLU<Eigen::MatrixXd> eigen(a);
    if (eigen.rcond() < 1e-8) continue;
    OrderedLu lu;
    lu.matrix() = a;
    REQUIRE(lu.factor());
    const Eigen::VectorXd b = Eigen::VectorXd::LinSpaced(size, -1.0, 2.0);
    Eigen::VectorXd x = b, y = b;
    lu.solve(x.data());
    lu.solve_transposed(y.data());
    const Eigen::VectorXd straight = eigen.solve(b), transposed = eigen.transpose().solve(b);
    CAPTURE(seed);
    CHECK((x - straight).norm() <= 1e-12 / eigen.rcond() * straight.norm());
    CHECK((y - transposed).norm() <= 1e-12 / eigen.rcond() * transposed.norm());
  }
}

TEST_CASE("ordered_lu: tells what is singular or not a number") {
  OrderedLu lu;
  lu.matrix() = Eigen::MatrixXd::Zero(3, 3);
  CHECK_FALSE(lu.factor());
  lu.matrix() = Eigen::MatrixXd::Identity(3, 3);
  lu.matrix()(2, 2) = 0.0;
  CHECK_FALSE(lu.factor());
  lu.matrix() = Eigen::MatrixXd::Constant(2, 2, std::nan(""));
  CHECK_FALSE(lu.factor());
}

TEST_CASE("ordered_lu: the order puts a full row and column last") {
  const int size = 12;
  std::vector<Scatter> entries;
  for (int i = 0; i < size; ++i) {
    for (const int target : {i * size + i, i * size, i}) entries.push_back({0, target, 1.0, 0});
  }
  std::vector<int> order = emptiest_order(size, entries);
  CHECK(order[0] >= size - 2);  // the last two fill nothing in any order
  std::sort(order.begin(), order.end());
  for (int i = 0; i < size; ++i) CHECK(order[static_cast<std::size_t>(i)] == i);
}
