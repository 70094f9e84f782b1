// How residuals move with quantities that move.
#include "libloop/network/circuit.hpp"
#include "libloop/network/plan.hpp"

namespace libloop::network {

void Circuit::add_rate(const Output& output, double rate, const Evaluation& work,
                       Rates& out) const {
  switch (output.kind) {
    case Output::Kind::drop:
      out.drop[at(output.index)] += rate;
      break;
    case Output::Kind::outlet:
      // Enters nodes and states; summed up below.
      out.outlet[at(output.index)] += rate;
      break;
    case Output::Kind::heat:
      if (output.index != nowhere) out.residual[at(state_row(output.index))] += rate;
      break;
    case Output::Kind::node_heat:
      if (node_row(output.index) >= 0) {
        const int f = factor::node(static_cast<int>(branches_.size()), output.index);
        out.residual[at(node_row(output.index))] += rate * work.factor[at(f)];
      }
      break;
    case Output::Kind::capacity:
      if (output.index != nowhere) out.capacity[at(output.index)] += rate;
      break;
    case Output::Kind::define:
      out.residual[at(aux_row(output.index))] += rate;
      break;
    case Output::Kind::answer:
      out.answer[at(output.index)] += rate;
      break;
  }
}

void Circuit::rates(std::span<const double> x, std::span<const int> moved,
                    std::span<const double> rate, Evaluation& work, Rates& out) const {
  out.residual.assign(at(unknowns_), 0.0);
  out.capacity.assign(states_.size(), 0.0);
  out.answer.assign(at(answers_), 0.0);
  out.drop.assign(branches_.size(), 0.0);
  out.outlet.assign(branches_.size(), 0.0);
  const auto rate_of = [&](int quantity) {
    double all = 0.0;
    for (std::size_t i = 0; i < moved.size(); ++i) all += moved[i] == quantity ? rate[i] : 0.0;
    return all;
  };
  for (const int e : users_of(moved)) {
    const Element& element = *elements_[at(e)];
    gather(element, x, work);
    out.q.clear();
    for (const int q : element.quantities()) {
      out.q.push_back(Gradient(values_[at(q)]));
      out.q.back().slope[0] = rate_of(q);
    }
    work.dual_out.resize(element.outputs().size());
    element.evaluate(out.q.data(), work.in.data(), work.dual_out.data());
    for (std::size_t o = 0; o < work.dual_out.size(); ++o) {
      add_rate(element.outputs()[o], work.dual_out[o].slope[0], work, out);
    }
  }
  for (const Mixing& mixing : plan_->mixing) {
    for (const Meeting& meeting : mixing.meetings) {
      out.residual[at(mixing.unknown)] +=
          work.factor[at(meeting.factor)] * out.outlet[at(meeting.branch)];
    }
  }
  for (const Inflow& in : plan_->inflows) {
    if (in.source.outlet < 0) continue;
    out.residual[at(in.state_unknown)] +=
        work.factor[at(in.factor)] * out.outlet[at(in.source.outlet)];
  }
  climb(forest_, out.drop, work.sum);
  for (std::size_t l = 0; l < forest_.chords.size(); ++l) {
    const std::size_t chord = at(forest_.chords[l]);
    out.residual[l] = out.drop[chord] +
                      difference(work.sum[at(edges_[chord].to)], work.sum[at(edges_[chord].from)]);
  }
}

}  // namespace libloop::network
