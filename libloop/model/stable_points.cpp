#include "libloop/model/stable_points.hpp"

#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <map>

#include "libloop/base/text.hpp"
#include "libloop/network/graph.hpp"

namespace libloop {
namespace {

constexpr double alike = 1e-5;  // of the largest flow of the stream

// Loop flows that come nearest to what is wanted of every branch, machines first.
class NearestFlows {
 public:
  explicit NearestFlows(const network::Circuit& circuit)
      : branches_(circuit.branches().size()), loops_(circuit.loops()) {
    matrix_.setZero(static_cast<Eigen::Index>(branches_), loops_);
    for (int l = 0; l < loops_; ++l) {
      for (const network::Step& step : loop_of(circuit.forest(), circuit.edges(), l)) {
        matrix_(step.edge, l) += step.sign;
      }
    }
  }

  std::vector<double> to(const Eigen::VectorXd& wanted, const Eigen::VectorXd& weight) const {
    const Eigen::MatrixXd weighted = weight.asDiagonal() * matrix_;
    const Eigen::VectorXd flows = weighted.colPivHouseholderQr().solve(weight.cwiseProduct(wanted));
    return {flows.data(), flows.data() + flows.size()};
  }

  Eigen::Index branches() const { return static_cast<Eigen::Index>(branches_); }

 private:
  std::size_t branches_;
  int loops_;
  Eigen::MatrixXd matrix_;
};

bool rises(const Built& built, const std::string& name) {
  const auto& elements = built.circuit.elements();
  return std::any_of(elements.begin(), elements.end(), [&](const auto& element) {
    return element->name() == name && element->rising();
  });
}

// Flows of the machines by name.
std::map<std::string, double> by_name(const OperatingPoint& p) {
  std::map<std::string, double> flows;
  for (const PartPoint& part : p.parts) flows.emplace(part.name, part.volume_flow);
  return flows;
}

std::string totals(const OperatingPoint& p) {
  constexpr double per_hour = 3600.0, litres_per_minute = 6e4;
  return fmt::format("{:.1f} m3/h of air, {:.2f} L/min of coolant, a rise of {:.1f} K",
                     p[Answer::air_flow] * per_hour, p[Answer::coolant_flow] * litres_per_minute,
                     p[Answer::rise]);
}

// The fans that run otherwise, or else the pumps.
std::string machines_apart(const OperatingPoint& a, const OperatingPoint& b) {
  constexpr double notably = 0.05;
  for (const char* kind : {"fan", "pump"}) {
    std::vector<std::string> names;
    for (std::size_t i = 0; i < a.parts.size(); ++i) {
      const double x = a.parts[i].flow, y = b.parts[i].flow;
      const bool apart = std::abs(x - y) > notably * std::max(std::abs(x), std::abs(y));
      if (apart && a.parts[i].name.rfind(kind, 0) == 0) names.push_back(a.parts[i].name);
    }
    std::sort(names.begin(), names.end());
    if (!names.empty()) return "; they differ in " + text::list(names);
  }
  return {};
}

}  // namespace

bool several_possible(const Built& built) {
  const auto& elements = built.circuit.elements();
  return std::any_of(elements.begin(), elements.end(),
                     [](const auto& element) { return element->rising(); });
}

std::vector<std::vector<double>> starts_from_much_flow(const Built& built, double fan,
                                                       double pump) {
  constexpr double beyond = 1.5;      // times free flow
  constexpr double little = 1e-2;     // weight of what is no machine
  constexpr std::size_t enough = 12;  // machines tried alone
  const NearestFlows nearest(built.circuit);
  Eigen::VectorXd weight = Eigen::VectorXd::Constant(nearest.branches(), little);
  Eigen::VectorXd all = Eigen::VectorXd::Zero(nearest.branches());
  std::vector<const BuiltPart*> turning;
  for (const BuiltPart& part : built.parts) {
    if (!part.machine) continue;
    const int b = part.branches.front();
    weight[b] = 1.0;
    all[b] = beyond * part.free_flow * (part.air ? fan : pump);
    if (rises(built, part.name)) turning.push_back(&part);
  }
  std::vector<std::vector<double>> starts{nearest.to(all, weight)};
  if (turning.size() < 2) return starts;
  for (std::size_t i = 0; i < std::min(turning.size(), enough); ++i) {
    Eigen::VectorXd one = all;
    for (const BuiltPart* part : turning) {
      if (part != turning[i]) one[part->branches.front()] = 0.0;
    }
    starts.push_back(nearest.to(one, weight));
  }
  return starts;
}

bool differ(const OperatingPoint& a, const OperatingPoint& b) {
  for (const bool air : {true, false}) {
    double most = 0.0, apart = 0.0;
    for (std::size_t i = 0; i < a.parts.size(); ++i) {
      if (a.parts[i].air != air) continue;
      most = std::max({most, std::abs(a.parts[i].flow), std::abs(b.parts[i].flow)});
      apart = std::max(apart, std::abs(a.parts[i].flow - b.parts[i].flow));
    }
    if (apart > alike * most) return true;
  }
  return false;
}

bool before(const OperatingPoint& a, const OperatingPoint& b) {
  for (const Answer answer : {Answer::air_flow, Answer::coolant_flow}) {
    const double x = a[answer], y = b[answer];
    if (std::abs(x - y) > alike * std::max(std::abs(x), std::abs(y))) return x > y;
  }
  const std::map<std::string, double> one = by_name(a), two = by_name(b);
  for (const auto& [name, flow] : one) {
    const double other = two.at(name);
    if (std::abs(flow - other) > alike * std::max(std::abs(flow), std::abs(other))) {
      return flow > other;
    }
  }
  return false;
}

Note several_points(const OperatingPoint& told, const OperatingPoint& other, bool from_rest) {
  return {
      Note::Kind::state, "several_points",
      fmt::format("several points are stable, since a curve rises in part: this one ({}) and {} "
                  "({}){}",
                  totals(told),
                  from_rest ? "the one that the machine takes when it starts from rest"
                            : "another; from rest the machine takes this one",
                  totals(other), machines_apart(told, other)),
      ""};
}

}  // namespace libloop
