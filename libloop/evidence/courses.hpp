// Reading a course between its times.
#pragma once

#include "libloop/evidence/forecast.hpp"

namespace libloop {

// Times at equal ratios.
std::vector<double> course_times(double first, double last);

// Share of the swing that is still to come, t in s since the step.
double left_at(const Courses& courses, const Course& course, double t);

// How much of the swing more is gone by then for a course quicker by a small part, over that part:
// the slope by the logarithm of its speed.
double quicker_at(const Courses& courses, const Course& course, double t);

}  // namespace libloop
