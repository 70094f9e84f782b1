#include "libloop/report/reduction_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>

#include "libloop/base/error.hpp"
#include "libloop/base/text.hpp"
#include "libloop/quantity/unit.hpp"
#include "libloop/report/chart_text.hpp"
#include "libloop/report/how_read.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

constexpr double normal_95 = 1.959963984540054;  // quantile of the normal at 97.5 %

std::string speed_words(const std::optional<double>& share, const std::optional<double>& speed) {
  if (share) return percent_cell(*share) + " %";
  return fmt::format("{:.0f} rpm", to_unit(*speed, "rpm"));
}

}  // namespace

double expanded(std::span<const Contribution> budget, double u) {
  const double freedom = effective_freedom(budget);
  constexpr double least = 1.0;  // fewer have no spread to speak of
  constexpr double many = 1e6;   // from here on the normal
  if (!(freedom < many)) return normal_95 * u;
  const boost::math::students_t distribution(std::max(least, freedom));
  return boost::math::quantile(distribution, 0.975) * u;
}

std::vector<PointAt> points_of(std::span<const ReducedLog> logs) {
  std::vector<PointAt> all;
  for (std::size_t i = 0; i < logs.size(); ++i) {
    for (const ReducedPoint& point : logs[i].reduction.points) {
      all.push_back({all.size() + 1, i, &point});
    }
  }
  return all;
}

const ReducedPoint* hottest(const std::vector<PointAt>& points) {
  const ReducedPoint* found = nullptr;
  for (const PointAt& at : points) {
    if (found == nullptr || at.point->rise > found->rise) found = at.point;
  }
  return found;
}

std::string set_words(const MeasuredState& state) {
  std::vector<std::string> words;
  const std::optional<double>& load = state.load ? state.load : state.preset;
  if (load) words.push_back(text::number(*load, 3) + " W");
  if (state.fan_share || state.fan_speed) {
    words.push_back("fans at " + speed_words(state.fan_share, state.fan_speed));
  }
  if (state.pump_share || state.pump_speed) {
    words.push_back("the pump at " + speed_words(state.pump_share, state.pump_speed));
  }
  return words.empty() ? "" : text::list(words);
}

std::string clock_at(double seconds) {
  const long long whole = std::llround(seconds);
  return fmt::format("{}:{:02}", whole / 60, whole % 60);
}

void need_logs(std::span<const ReducedLog> logs) {
  if (logs.empty()) refuse(Code::call, "no log to report", "Reduce at least one.");
}

std::string largest_doubts(const ReducedPoint& point, std::size_t most) {
  std::vector<Contribution> sorted = point.budget;
  std::stable_sort(sorted.begin(), sorted.end(),
                   [](const Contribution& a, const Contribution& b) { return a.u > b.u; });
  const double all = combined(sorted);
  std::string words;
  for (std::size_t i = 0; i < sorted.size() && i < most; ++i) {
    const double share = all > 0.0 ? sorted[i].u * sorted[i].u / (all * all) : 0.0;
    if (i > 0 && share < 0.005) break;
    words += fmt::format("{}{} {} K ({:.0f} %)", i > 0 ? ", " : "", sorted[i].name,
                         text::number(sorted[i].u, 2), 100.0 * share);
  }
  return words;
}

std::string file_name(const std::string& path) {
  const std::size_t slash = path.find_last_of('/');
  return plain(slash == std::string::npos ? path : path.substr(slash + 1));
}

}  // namespace libloop::report
