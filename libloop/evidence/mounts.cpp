#include "libloop/evidence/mounts.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <numeric>

namespace libloop::evidence {
namespace {

using Group = std::vector<const MountPoint*>;

std::vector<Group> by_condition(std::span<const MountPoint> points) {
  std::vector<Group> groups;
  for (const MountPoint& point : points) {
    if (point.condition >= groups.size()) groups.resize(point.condition + 1);
    groups[point.condition].push_back(&point);
  }
  return groups;
}

// The set of each mount, named by one of its mounts.
std::vector<std::size_t> connect(const std::vector<Group>& groups, std::size_t mounts) {
  std::vector<std::size_t> set(mounts);
  std::iota(set.begin(), set.end(), std::size_t{0});
  for (const Group& group : groups) {
    for (const MountPoint* point : group) {
      const std::size_t from = set[point->mount], to = set[group.front()->mount];
      std::replace(set.begin(), set.end(), from, to);
    }
  }
  return set;
}

// What the conditions leave of the normal equations, one row a mount. They are singular, once a
// set: the solution of least length has shifts that sum to zero in each.
std::vector<double> solve(const std::vector<Group>& groups, std::size_t mounts) {
  const auto n = static_cast<Eigen::Index>(mounts);
  Eigen::MatrixXd matrix = Eigen::MatrixXd::Zero(n, n);
  Eigen::VectorXd right = Eigen::VectorXd::Zero(n);
  for (const Group& group : groups) {
    if (group.empty()) continue;
    Eigen::VectorXd count = Eigen::VectorXd::Zero(n), sum = Eigen::VectorXd::Zero(n);
    for (const MountPoint* point : group) {
      count[static_cast<Eigen::Index>(point->mount)] += 1.0;
      sum[static_cast<Eigen::Index>(point->mount)] += point->log_value;
    }
    const double all = static_cast<double>(group.size());
    matrix += Eigen::MatrixXd(count.asDiagonal()) - count * count.transpose() / all;
    right += sum - count * (sum.sum() / all);
  }
  const Eigen::VectorXd shift = matrix.completeOrthogonalDecomposition().solve(right);
  return {shift.data(), shift.data() + shift.size()};
}

}  // namespace

double MountFit::squares() const {
  return std::accumulate(shift.begin(), shift.end(), 0.0,
                         [](double sum, double one) { return sum + one * one; });
}

MountFit fit_mounts(std::span<const MountPoint> points, std::size_t mounts) {
  MountFit fit;
  if (mounts <= 1) {
    fit.shift.assign(mounts, 0.0);
    return fit;
  }
  const std::vector<Group> groups = by_condition(points);
  const std::vector<std::size_t> set = connect(groups, mounts);
  fit.shift = solve(groups, mounts);
  fit.sets = 0;
  fit.fewest = mounts;
  for (std::size_t mount = 0; mount < mounts; ++mount) {
    const auto members = static_cast<std::size_t>(std::count(set.begin(), set.end(), mount));
    if (members == 0) continue;
    ++fit.sets;
    fit.fewest = std::min(fit.fewest, members);
  }
  return fit;
}

}  // namespace libloop::evidence
