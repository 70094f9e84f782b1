#include "libloop/warmup/waiting.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <deque>
#include <limits>

namespace libloop {
namespace {

constexpr double never = std::numeric_limits<double>::infinity();
constexpr double as_good_as_settled = 0.02;  // K
constexpr std::array<double, 12> told = {10.0,  30.0,   60.0,   120.0,  180.0,  300.0,
                                         600.0, 1200.0, 2400.0, 3600.0, 7200.0, 14400.0};

// The largest and the smallest of the last `length` values, as they come in.
class Window {
 public:
  explicit Window(std::size_t length) : length_(length) {}

  void add(double value) {
    const std::size_t i = count_++;
    while (!highest_.empty() && highest_.back().second <= value) highest_.pop_back();
    while (!lowest_.empty() && lowest_.back().second >= value) lowest_.pop_back();
    highest_.emplace_back(i, value);
    lowest_.emplace_back(i, value);
    if (highest_.front().first + length_ <= i) highest_.pop_front();
    if (lowest_.front().first + length_ <= i) lowest_.pop_front();
  }
  bool full() const { return count_ >= length_; }
  double range() const { return highest_.front().second - lowest_.front().second; }

 private:
  std::size_t length_, count_ = 0;
  std::deque<std::pair<std::size_t, double>> highest_, lowest_;
};

}  // namespace

std::vector<Creep> creep_of(const Trajectory& trajectory) {
  std::vector<Creep> rows;
  const double settled = trajectory.settled_value(Trace::rise);
  for (const double after : told) {
    const double t = trajectory.last_change() + after;
    if (t > trajectory.end()) break;
    const double rise = trajectory.at(Trace::rise, t);
    rows.push_back({after, rise, settled - rise, trajectory.rate(Trace::rise, t)});
    const bool done =
        trajectory.settles(Trace::rise, settled, as_good_as_settled).value_or(never) <= after;
    if (done) break;
  }
  return rows;
}

std::optional<double> habit_ends(const Trajectory& trajectory, const Habit& habit) {
  constexpr int looks = 60;  // at the reading, within the habit's time
  const double step = habit.over / looks;
  Window window(looks + 1);
  // Beyond its end a warm-up that settled stays; of any other nothing is known there.
  const double begin = trajectory.last_change(), end = trajectory.end();
  const bool stays = std::abs(trajectory.at(Trace::rise, end) -
                              trajectory.settled_value(Trace::rise)) <= as_good_as_settled;
  const double known = stays ? end + habit.over + step : end;
  for (double after = 0.0; begin + after <= known; after += step) {
    window.add(trajectory.at(Trace::rise, begin + after));
    if (window.full() && window.range() <= habit.change) return after;
  }
  return std::nullopt;
}

}  // namespace libloop
