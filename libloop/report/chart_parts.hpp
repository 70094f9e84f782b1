// What several pictures share: ranges and ticks of axes, head and foot of the page.
#pragma once

#include <string>
#include <vector>

#include "libloop/report/chart.hpp"

namespace libloop::report {

inline constexpr double tick_size = 30.0, axis_size = 30.0;  // px, of writing

inline constexpr double page_margin = 60.0;  // px, at either side of the page
inline constexpr double foot_width = page_right - 2.0 * page_margin;  // px, of a line there

// Lowest and highest of what an axis has to show.
struct Reach {
  double low = 1e300, high = -1e300;
  void add(double value);
  bool empty() const { return low > high; }
  // With some room at either end; a point gets a range of its own.
  Reach padded(double share) const;
};

// Round values between low and high, about `about` of them: 1, 2 or 5 times a power of ten.
std::vector<double> round_values(double low, double high, int about);
// Their texts with equal decimals.
std::vector<Tick> ticks(const std::vector<double>& at, char decimal_mark);

// "12.5", "12,5"; no sign on what rounds to nothing.
std::string decimal(double value, int decimals, char decimal_mark);

// Title, line below it, and footnotes from the bottom up; returns where the foot begins, px.
double head_and_foot(Chart& chart, const std::string& title, const std::string& subtitle,
                     const std::vector<std::string>& notes);

// Throws InputError (code call) where the chart cannot be drawn.
void check(const Chart& chart);

}  // namespace libloop::report
