#include "libloop/evidence/steady.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/distributions/fisher_f.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>

#include "libloop/base/text.hpp"
#include "libloop/evidence/correlated.hpp"
#include "libloop/evidence/steady_lag.hpp"

namespace libloop {
namespace {

using Values = std::span<const double>;

constexpr std::size_t fewest = 6;           // readings of a window
constexpr double shorter = 0.8;             // each window tried is so much of the one before
constexpr double fewest_independent = 8.0;  // judgement; below, noise is a swing
constexpr double smallest_change = 0.05;    // K; noise that changes by less is let pass: judgement

double student(double confidence, double freedom) {
  return quantile(boost::math::students_t(std::max(freedom, 1.0)), confidence);
}

std::string per_minute(double slope) { return text::number(60.0 * std::abs(slope), 2) + " K/min"; }

// A creep that rounding hides: the levels at both ends are uncertain by it.
double u_slope(const Trend& trend, double length, double rounding) {
  return std::hypot(trend.u, std::sqrt(2.0) * rounding / length);
}

struct Judged {
  SteadyWindow window;
  double doubt = 0.0;  // K, by which settled windows are compared
};

class Judge {
 public:
  Judge(Values times, Values rise, const SteadyRule& rule)
      : times_(times), rise_(rise), rule_(rule), course_(slow_end_of(times, rise)) {
    const double whole = times.back() - times.front();
    // Of several windows tried, one passes by chance more often than of one. They overlap: three
    // count as one (judgement; steady_test counts what comes of it).
    const double tried = std::max(std::log(whole / rule.shortest) / std::log(1.0 / shorter), 0.0);
    confidence_ = 1.0 - (1.0 - rule.confidence) / (1.0 + tried / 3.0);
  }

  Judged judge(std::size_t first) const {
    const Values t = times_.subspan(first), y = rise_.subspan(first);
    const double length = t.back() - t.front();
    const Trend trend = trend_of(t, y);
    Judged result;
    SteadyWindow& w = result.window;
    w.first = first;
    w.creep = trend.slope;
    w.u_creep = u_slope(trend, length, rule_.rounding);
    w.scatter = trend.scatter;
    w.lag = course_.lag;
    // A slope goes on for one lag, and the mean of a window is behind its end by a sixth of the
    // fall of its line where the lag is much shorter: it may or may not, so a rectangle. What the
    // step's own course leaves is expected to come, and not corrected for. Both tell of one thing:
    // the larger counts.
    const double slope = std::hypot(w.creep, w.u_creep) * (course_.lag + length / 6.0);
    w.u_remaining = std::max(rectangular(slope), std::abs(course_.remaining(t.front(), t.back())));
    w.why = fault(t, y, trend, w);
    w.settled = w.why.empty();
    // Of a ramp the mean is half a window behind its end.
    if (!w.settled) {
      const double ramp = std::hypot(w.creep, w.u_creep) * (course_.lag + length / 2.0);
      w.u_remaining = std::max(w.u_remaining, rectangular(ramp));
    }
    result.doubt = std::hypot(trend.scatter / std::sqrt(trend.independent), w.u_remaining);
    return result;
  }

  SteadyWindow with_mean(SteadyWindow w) const {
    w.mean = mean_of(times_.subspan(w.first), rise_.subspan(w.first));
    return w;
  }

 private:
  std::string fault(Values t, Values y, const Trend& trend, const SteadyWindow& w) const {
    const double length = t.back() - t.front();
    if (y.size() < fewest || longest_gap(t) > length / 2.0) return "too many readings are missing";
    const double wide = student(confidence_, trend.freedom) * w.u_creep;
    if (std::abs(w.creep) - wide > rule_.creep) return "it still creeps by " + per_minute(w.creep);
    if (std::abs(w.creep) + wide > rule_.creep) {
      return "in its noise a creep of " + per_minute(std::abs(w.creep) + wide) +
             " cannot be excluded";
    }
    if (creeps_at_first(t, y)) return "it still creeps at first";
    if (trend.independent < fewest_independent) return "it swings slowly";
    if (noise_changes(t, y, trend)) return "its noise changes";
    return {};
  }

  static double longest_gap(Values t) {
    double longest = 0.0;
    for (std::size_t i = 1; i < t.size(); ++i) longest = std::max(longest, t[i] - t[i - 1]);
    return longest;
  }

  bool creeps_at_first(Values t, Values y) const {
    const std::size_t half = y.size() / 2;
    if (half < fewest) return false;
    const Trend trend = trend_of(t.first(half), y.first(half));
    const double u = u_slope(trend, t[half - 1] - t[0], rule_.rounding);
    return std::abs(trend.slope) - student(confidence_, trend.freedom) * u > rule_.creep;
  }

  // F test of the variances of both halves about the line. Of AR(1) noise n readings tell a
  // variance as well as n (1 - phi^2)/(1 + phi^2) independent ones.
  bool noise_changes(Values t, Values y, const Trend& trend) const {
    const std::size_t half = y.size() / 2;
    if (half < fewest) return false;
    const auto variance = [&](std::size_t from, std::size_t to) {
      double level = 0.0, sum = 0.0;
      const double n = static_cast<double>(to - from);
      for (std::size_t i = from; i < to; ++i) level += (y[i] - trend.slope * (t[i] - t[0])) / n;
      for (std::size_t i = from; i < to; ++i) {
        sum += std::pow(y[i] - trend.slope * (t[i] - t[0]) - level, 2);
      }
      return sum / (n - 1.0) + smallest_change * smallest_change + rule_.rounding * rule_.rounding;
    };
    const double a = variance(0, half), b = variance(half, y.size());
    const double interval = (t.back() - t.front()) / static_cast<double>(y.size() - 1);
    const double phi =
        trend.correlation_time > 0.0 ? std::exp(-interval / trend.correlation_time) : 0.0;
    const double n = static_cast<double>(half) * (1.0 - phi * phi) / (1.0 + phi * phi);
    const boost::math::fisher_f f(std::max(n, 1.0), std::max(n, 1.0));
    const double p = 1.0 - (1.0 - rule_.confidence) / 2.0;
    return std::max(a / b, b / a) > quantile(f, p);
  }

  Values times_, rise_;
  const SteadyRule& rule_;
  SlowEnd course_;
  double confidence_ = 0.95;  // of one window
};

std::size_t first_within(Values times, double length) {
  const double from = times.back() - length;
  return static_cast<std::size_t>(
      std::lower_bound(times.begin(), times.end(), from - 1e-9 * length) - times.begin());
}

}  // namespace

std::optional<SteadyWindow> steady_window(Values times, Values rise, const SteadyRule& rule) {
  if (rise.size() < fewest) return {};
  const double whole = times.back() - times.front();
  const double shortest = rule.shortest;
  // Readings stand for their interval: of n of them one is not between any two.
  const double interval = whole / static_cast<double>(rise.size() - 1);
  if (whole + interval < shortest) return {};
  const Judge judge(times, rise, rule);
  // Of windows that are steady, else of all, the one with the least doubt.
  std::optional<Judged> best;
  std::size_t before = rise.size();
  for (double length = whole;; length *= shorter) {
    const bool final = length <= shortest;
    std::size_t first = first_within(times, final ? std::min(shortest, whole) : length);
    first = std::min(first, rise.size() - fewest);
    if (first != before) {
      before = first;
      const Judged judged = judge.judge(first);
      const bool alike = best && judged.window.settled == best->window.settled;
      if (!best || judged.window.settled > best->window.settled ||
          (alike && judged.doubt < best->doubt)) {
        best = judged;
      }
    }
    if (final) break;
  }
  return judge.with_mean(best->window);
}

}  // namespace libloop
