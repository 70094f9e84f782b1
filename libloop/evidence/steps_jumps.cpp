#include "libloop/evidence/steps_jumps.hpp"

#include <algorithm>
#include <cmath>

namespace libloop {
namespace {

using Values = std::span<const double>;

double median(std::vector<double> x) {
  const auto middle = x.begin() + static_cast<std::ptrdiff_t>(x.size() / 2);
  std::nth_element(x.begin(), middle, x.end());
  return *middle;
}

double median_of(Values x) { return median({x.begin(), x.end()}); }

std::size_t rows_in(std::span<const double> times, double window) {
  std::vector<double> gaps;
  for (std::size_t i = 1; i < times.size(); ++i) gaps.push_back(times[i] - times[i - 1]);
  const double rows = std::round(window / median(std::move(gaps)));
  return static_cast<std::size_t>(std::clamp(rows, 3.0, 101.0)) | 1u;  // an odd number
}

double level_of(double value, const JumpRule& rule) {
  return rule.proportional ? std::abs(value) : 1.0;
}

// Standard deviation of a reading, of its level where the noise is proportional. From neighbours:
// jumps and drift hardly count. The median of the size of a normal difference is 0.954 sigma.
double noise_of(Values x, const JumpRule& rule) {
  std::vector<double> sizes;
  for (std::size_t i = 1; i < x.size(); ++i) {
    const double level = (level_of(x[i], rule) + level_of(x[i - 1], rule)) / 2.0;
    if (level > 0.0) sizes.push_back(std::abs(x[i] - x[i - 1]) / level);
  }
  return sizes.empty() ? 0.0 : median(std::move(sizes)) / 0.954;
}

class Finder {
 public:
  Finder(std::span<const double> times, Values x, const JumpRule& rule)
      : x_(x),
        rule_(rule),
        size_(std::min(rows_in(times, rule.window), x.size() / 2)),
        noise_(noise_of(x, rule)),
        medians_(running_medians(x, size_)) {}

  std::vector<Jump> find() const {
    std::vector<Jump> found;
    for (std::size_t i = least_rows(); i + least_rows() <= x_.size(); ++i) {
      if (!differs(before(i), after(i))) continue;
      std::size_t last = i;
      for (std::size_t j = i; j + least_rows() <= x_.size() && j <= last + size_; ++j) {
        if (differs(before(j), after(j))) last = j;
      }
      const Jump jump = placed(i, last);
      if (differs(jump.before, jump.after)) found.push_back(jump);
      i = last;
    }
    return found;
  }

 private:
  std::size_t least_rows() const { return std::min<std::size_t>(3, size_); }

  // Medians of the readings before i, and from i on; fewer than a window near the ends.
  double before(std::size_t i) const {
    return i >= size_ ? medians_[i - size_] : median_of(x_.first(i));
  }
  double after(std::size_t i) const {
    return i + size_ <= x_.size() ? medians_[i] : median_of(x_.subspan(i));
  }

  double sigma(double a, double b) const {
    return noise_ * std::max(level_of(a, rule_), level_of(b, rule_));
  }

  // 4.5 standard deviations of the difference of two medians: in a million rows of noise alone
  // there are a few at most. A median of n scatters 1.25/sqrt n.
  bool differs(double a, double b) const {
    const double n = static_cast<double>(size_);
    const double of_noise = 4.5 * 1.25 * std::sqrt(2.0 / n) * sigma(a, b);
    const double share = rule_.least_share * std::max(std::abs(a), std::abs(b));
    return std::abs(a - b) > std::max({rule_.least, share, of_noise, 1.5 * rule_.rounding});
  }

  // The first reading that has left the old level: where most lie on their side of the middle,
  // and from there back along a ramp.
  Jump placed(std::size_t first, std::size_t last) const {
    Jump jump{.at = last, .before = before(first), .after = after(last)};
    const double size = jump.after - jump.before;
    const auto share = [&](std::size_t i) { return (x_[i] - jump.before) / size; };
    int wrong = 0, fewest = 0;
    jump.at = first;
    for (std::size_t i = first; i < last; ++i) {
      wrong += share(i) < 0.5 ? -1 : 1;
      if (wrong < fewest) fewest = wrong, jump.at = i + 1;
    }
    const double still = std::max(0.15, 3.0 * sigma(jump.before, jump.before) / std::abs(size));
    while (jump.at > first && share(jump.at - 1) > still) --jump.at;
    return jump;
  }

  Values x_;
  const JumpRule& rule_;
  std::size_t size_;
  double noise_;
  std::vector<double> medians_;
};

}  // namespace

std::vector<double> running_medians(Values x, std::size_t size) {
  std::vector<double> sorted(x.begin(), x.begin() + static_cast<std::ptrdiff_t>(size)), medians;
  std::sort(sorted.begin(), sorted.end());
  medians.push_back(sorted[size / 2]);
  for (std::size_t i = size; i < x.size(); ++i) {
    sorted.erase(std::lower_bound(sorted.begin(), sorted.end(), x[i - size]));
    sorted.insert(std::upper_bound(sorted.begin(), sorted.end(), x[i]), x[i]);
    medians.push_back(sorted[size / 2]);
  }
  return medians;
}

std::vector<Jump> jumps(std::span<const double> times, std::span<const double> values,
                        const JumpRule& rule) {
  if (values.size() < 6) return {};
  return Finder(times, values, rule).find();
}

}  // namespace libloop
