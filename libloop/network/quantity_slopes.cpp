// Slopes of answers by quantities, from what every row weighs in them.
#include <algorithm>
#include <tuple>

#include "libloop/network/plan.hpp"

namespace libloop::network {
namespace {

constexpr int width = static_cast<int>(std::tuple_size_v<decltype(Gradient::slope)>);

}  // namespace

// How much a change of what leaves each branch weighs in the rows: it enters nodes and
// states.
std::vector<double> Circuit::outlet_weights(std::span<const double> row_weight,
                                            const Evaluation& work) const {
  std::vector<double> all(branches_.size(), 0.0);
  for (const Mixing& mixing : plan_->mixing) {
    const double w = row_weight[at(wide(*this, mixing.unknown))];
    for (const Meeting& meeting : mixing.meetings) {
      all[at(meeting.branch)] += w * work.factor[at(meeting.factor)];
    }
  }
  for (const Inflow& in : plan_->inflows) {
    if (in.source.outlet < 0) continue;
    all[at(in.source.outlet)] +=
        row_weight[at(wide(*this, in.state_unknown))] * work.factor[at(in.factor)];
  }
  return all;
}

// What one output weighs through the rows it adds to.
double Circuit::output_weight(const Output& output, std::span<const double> row_weight,
                              std::span<const double> outlet_weight, const Evaluation& work) const {
  const auto row = [&](int unknown) { return row_weight[at(wide(*this, unknown))]; };
  switch (output.kind) {
    case Output::Kind::drop:
      return row_weight[at(output.index)];
    case Output::Kind::outlet:
      return outlet_weight[at(output.index)];
    case Output::Kind::heat:
      return output.index == nowhere ? 0.0 : row(state_row(output.index));
    case Output::Kind::node_heat: {
      const int unknown = node_row(output.index);
      const int f = factor::node(static_cast<int>(branches_.size()), output.index);
      return unknown < 0 ? 0.0 : row(unknown) * work.factor[at(f)];
    }
    case Output::Kind::define:
      return row(aux_row(output.index));
    case Output::Kind::capacity:
    case Output::Kind::answer:
      break;
  }
  return 0.0;
}

// Weights of one element's outputs through their rows: output by output, every answer.
std::vector<double> Circuit::element_weights(const Element& element, std::span<const double> weight,
                                             const std::vector<std::vector<double>>& by_outlet,
                                             const Evaluation& work) const {
  const std::size_t rows = at(plan_->rows);
  std::vector<double> all;
  for (const Output& output : element.outputs()) {
    for (std::size_t a = 0; a < at(answers_); ++a) {
      all.push_back(output_weight(output, weight.subspan(a * rows, rows), by_outlet[a], work));
    }
  }
  return all;
}

void Circuit::add_quantity_slopes(std::span<const double> x, std::span<const double> weight,
                                  Evaluation& work, std::vector<double>& total) const {
  const std::size_t rows = at(plan_->rows), answers = at(answers_);
  std::vector<std::vector<double>> by_outlet;
  for (std::size_t a = 0; a < answers; ++a) {
    by_outlet.push_back(outlet_weights(weight.subspan(a * rows, rows), work));
  }
  std::vector<double> sums;
  std::vector<Gradient> q;
  for (const auto& element : elements_) {
    const std::vector<int>& own = element->quantities();
    const int count = static_cast<int>(own.size());
    gather(*element, x, work);
    const std::vector<double> weights = element_weights(*element, weight, by_outlet, work);
    work.dual_out.resize(element->outputs().size());
    q.resize(own.size());
    for (int begin = 0; begin < count; begin += width) {
      const int end = std::min(begin + width, count);
      for (int i = 0; i < count; ++i) {
        const double value = values_[at(own[at(i)])];
        q[at(i)] = i >= begin && i < end ? Gradient::variable(value, i - begin) : Gradient(value);
      }
      element->evaluate(q.data(), work.in.data(), work.dual_out.data());
      for (int i = begin; i < end; ++i) {
        sums.assign(answers, 0.0);
        for (std::size_t o = 0; o < work.dual_out.size(); ++o) {
          const double d = work.dual_out[o].slope[at(i - begin)];
          const Output& output = element->outputs()[o];
          if (output.kind == Output::Kind::answer) sums[at(output.index)] -= d;
          if (d == 0.0 || output.kind == Output::Kind::answer) continue;
          for (std::size_t a = 0; a < answers; ++a) sums[a] += d * weights[o * answers + a];
        }
        for (std::size_t a = 0; a < answers; ++a) {
          total[a * at(quantities_) + at(own[at(i)])] -= sums[a];
        }
      }
    }
  }
}

}  // namespace libloop::network
