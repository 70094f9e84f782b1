// Words and numbers that the reports of a reduction share.
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "libloop/evidence/budget.hpp"
#include "libloop/report/reduction.hpp"

namespace libloop::report {

// Half the width of the interval that holds a value in 95 % of cases: Student's t with the
// budget's effective degrees of freedom, times the combined uncertainty (GUM, annex G).
double expanded(std::span<const Contribution> budget, double u);

// A point with the log it comes from; points are numbered through all logs, from 1.
struct PointAt {
  std::size_t number = 0, log = 0;
  const ReducedPoint* point = nullptr;
};
std::vector<PointAt> points_of(std::span<const ReducedLog> logs);

// The point that a report opens with: the greatest rise, held or not; null without a point.
const ReducedPoint* hottest(const std::vector<PointAt>& points);

// "180 W and fans at 60 %"; empty when the log has neither.
std::string set_words(const MeasuredState& state);
// "12:05", minutes and seconds since the log began.
std::string clock_at(double seconds);

// Throws InputError (code call) when there is none.
void need_logs(std::span<const ReducedLog> logs);

// The largest contributions: "chip reading 0.58 K (71 %), ambient 0.29 K (18 %), ...".
std::string largest_doubts(const ReducedPoint& point, std::size_t most = 3);

// The name of a file without its folder, as a page shows it.
std::string file_name(const std::string& path);

}  // namespace libloop::report
