// An element on its own, at the typical values of its sheets: what it writes for what it
// reads, and whether its derivatives are those of differences.
#pragma once

#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <vector>

#include "libloop/math/dual.hpp"
#include "libloop/quantity/table.hpp"

namespace libloop::testing {

template <class Law>
class Alone {
 public:
  // `sheets` in the order in which the law takes them.
  Alone(Law law, std::initializer_list<const Sheet*> sheets, std::size_t outputs)
      : law_(law), outputs_(outputs) {
    for (const Sheet* sheet : sheets) {
      for (const std::size_t row : sheet->continuous()) {
        quantities_.push_back(sheet->entry(row).range.typical);
      }
    }
  }

  std::vector<double> operator()(const std::vector<double>& in) const {
    return evaluate(quantities_, in);
  }

  std::vector<Gradient> slopes(const std::vector<Gradient>& in) const {
    std::vector<Gradient> out(outputs_);
    law_.template evaluate<double, Gradient>(law_.template prepare<double>(quantities_.data()),
                                             in.data(), out.data());
    return out;
  }

  // The largest error of a derivative, by every input and every quantity, against central
  // differences; relative to the output, for a relative step.
  double worst_slope(const std::vector<double>& in) const {
    double worst = 0.0;
    const auto note = [&](const std::vector<Gradient>& exact, const std::vector<double>& up,
                          const std::vector<double>& down, double step, double number) {
      for (std::size_t i = 0; i < outputs_; ++i) {
        const double difference = (up[i] - down[i]) / (2.0 * step);
        const double scale = std::abs(exact[i].value) + std::abs(difference * number) + 1e-12;
        worst = std::max(worst, std::abs(exact[i].slope[0] - difference) * number / scale);
      }
    };
    for (std::size_t k = 0; k < in.size(); ++k) {
      std::vector<Gradient> moved(in.begin(), in.end());
      moved[k] = Gradient::variable(in[k], 0);
      const double number = std::abs(in[k]), step = 1e-6 * number;
      std::vector<double> up = in, down = in;
      up[k] += step;
      down[k] -= step;
      note(slopes(moved), (*this)(up), (*this)(down), step, number);
    }
    for (std::size_t k = 0; k < quantities_.size(); ++k) {
      std::vector<Gradient> moved(quantities_.begin(), quantities_.end());
      moved[k] = Gradient::variable(quantities_[k], 0);
      const double number = std::max(std::abs(quantities_[k]), 1e-3), step = 1e-6 * number;
      std::vector<double> up = quantities_, down = quantities_;
      up[k] += step;
      down[k] -= step;
      std::vector<Gradient> exact(outputs_);
      law_.template evaluate<Gradient, double>(law_.template prepare<Gradient>(moved.data()),
                                               in.data(), exact.data());
      note(exact, evaluate(up, in), evaluate(down, in), step, number);
    }
    return worst;
  }

 private:
  std::vector<double> evaluate(const std::vector<double>& q, const std::vector<double>& in) const {
    std::vector<double> out(outputs_);
    law_.template evaluate<double, double>(law_.template prepare<double>(q.data()), in.data(),
                                           out.data());
    return out;
  }

  Law law_;
  std::size_t outputs_;
  std::vector<double> quantities_;
};

// Whether output 0, the drop, is odd in the flow (input 0), rises strictly and has a slope at
// rest.
template <class Law>
bool resists(const Alone<Law>& alone, std::vector<double> in, std::initializer_list<double> flows) {
  double before = 0.0;
  for (const double flow : flows) {
    in[0] = flow;
    const double ahead = alone(in)[0];
    in[0] = -flow;
    const double back = alone(in)[0];
    if (!(ahead > before) || !(std::abs(ahead + back) <= 1e-12 * ahead)) return false;
    before = ahead;
  }
  std::vector<Gradient> rest(in.begin(), in.end());
  rest[0] = Gradient::variable(0.0, 0);
  const Gradient drop = alone.slopes(rest)[0];
  return drop.value == 0.0 && drop.slope[0] > 0.0 && std::isfinite(drop.slope[0]);
}

}  // namespace libloop::testing
