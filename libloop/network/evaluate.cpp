// Residuals, and their slopes, at one point.
#include <algorithm>
#include <cmath>

#include "libloop/network/plan.hpp"

namespace libloop::network {
namespace {

constexpr int width = static_cast<int>(std::tuple_size_v<decltype(Gradient::slope)>);

// (m + |m|)/2, smooth and above zero for every m, without cancellation.
double brought(double m, double carried) {
  return m >= 0.0 ? 0.5 * (m + carried) : 0.5 * least_flow * least_flow / (carried - m);
}

// A heated node is judged as if a little more flowed through it, so that its balance stays
// of a sensible size when nothing flows (1e-3 kg/s of air carry 1 W/K).
constexpr double heated_flow = 1e-3;

}  // namespace

void Circuit::reset(Slopes slopes, Evaluation& out) const {
  const Plan& p = *plan_;
  out.residual.assign(at(unknowns_), 0.0);
  out.answer.assign(at(answers_), 0.0);
  out.capacity.assign(states_.size(), 0.0);
  out.drop.assign(branches_.size(), 0.0);
  out.outlet.resize(branches_.size());
  out.inlet.resize(branches_.size());
  out.node_heat.assign(nodes_.size(), 0.0);
  out.weight.resize(nodes_.size());
  out.factor.resize(at(factor::node(static_cast<int>(branches_.size()), 0)) + nodes_.size());
  out.factor[0] = 1.0;
  if (slopes != Slopes::none) out.slope.assign(p.places.size(), 0.0);
}

// What enters the branches that are asked for it, and its slopes: of all that goes through
// a branch, it brings a share to its end, which enters at its start, and the rest, nothing
// unless the flow is nearly or truly backwards, the other way.
void Circuit::set_inlets(std::span<const double> x, Evaluation& out) const {
  for (const int b : plan_->inlets) {
    const Branch& branch = branches_[at(b)];
    const double start = x[at(plan_->sources[at(branch.from)].unknown)];
    const double end = x[at(plan_->sources[at(branch.to)].unknown)];
    const double m = out.flow[at(b)], carried = carrying_flow(m);
    const double forward = brought(m, carried) / carried;
    const double backward = brought(-m, carried) / carried;
    out.inlet[at(b)] = forward * start + backward * end;
    double* f = &out.factor[at(factor::branch(b, factor::from_start))];
    f[factor::from_start] = forward;
    f[factor::from_end] = backward;
    // d forward / d m = 2 forward backward / |m|
    f[factor::turning] = 2.0 * forward * backward / carried * (start - end);
  }
}

// How much every branch counts in the temperature of the nodes at its ends. Each brings a
// little even when it stands still or carries away, so that a node at rest has the mean
// temperature of what meets there.
void Circuit::set_weights(std::span<const double> x, Evaluation& out) const {
  for (const Mixing& mixing : plan_->mixing) {
    double all = mixing.heated ? heated_flow : 0.0;
    for (const Meeting& meeting : mixing.meetings) {
      const double m = meeting.inward * out.flow[at(meeting.branch)];
      const double brings = brought(m, carrying_flow(m));
      out.factor[at(meeting.factor)] = brings;
      all += brings;
    }
    out.weight[at(mixing.node)] = all;
    for (const Meeting& meeting : mixing.meetings) out.factor[at(meeting.factor)] /= all;
    const double heat = mixing.heat < 0 ? mixing.constant_heat : x[at(mixing.heat)];
    const int f = factor::node(static_cast<int>(branches_.size()), mixing.node);
    out.factor[at(f)] = mixing.heated ? 1.0 / (heat * all) : 0.0;
  }
}

void Circuit::gather(const Element& e, std::span<const double> x, Evaluation& out) const {
  out.in.resize(e.inputs().size());
  for (std::size_t i = 0; i < out.in.size(); ++i) {
    const Input& input = e.inputs()[i];
    switch (input.kind) {
      case Input::Kind::flow:
        out.in[i] = out.flow[at(input.index)];
        break;
      case Input::Kind::inlet:
        out.in[i] = out.inlet[at(input.index)];
        break;
      case Input::Kind::state:
        out.in[i] = x[at(state_row(input.index))];
        break;
      case Input::Kind::aux:
        out.in[i] = x[at(aux_row(input.index))];
        break;
      case Input::Kind::node:
        out.in[i] = x[at(plan_->sources[at(input.index)].unknown)];
        break;
    }
  }
}

void Circuit::add_value(const Output& output, double value, Evaluation& out) const {
  switch (output.kind) {
    case Output::Kind::drop:
      out.drop[at(output.index)] += value;
      break;
    case Output::Kind::outlet:
      out.outlet[at(output.index)] = value;
      break;
    case Output::Kind::heat:
      if (output.index != nowhere) out.residual[at(state_row(output.index))] += value;
      break;
    case Output::Kind::node_heat:
      out.node_heat[at(output.index)] += value;
      break;
    case Output::Kind::capacity:
      if (output.index != nowhere) out.capacity[at(output.index)] += value;
      break;
    case Output::Kind::define:
      out.residual[at(aux_row(output.index))] += value;
      break;
    case Output::Kind::answer:
      out.answer[at(output.index)] += value;
      break;
  }
}

void Circuit::evaluate_element(std::size_t index, Slopes slopes, Evaluation& out) const {
  const Element& e = *elements_[index];
  const std::vector<Output>& outputs = e.outputs();
  const int count = static_cast<int>(e.inputs().size());
  if (slopes == Slopes::none || count == 0) {
    out.value.resize(outputs.size());
    e.evaluate(out.in.data(), out.value.data());
    for (std::size_t o = 0; o < outputs.size(); ++o) add_value(outputs[o], out.value[o], out);
    return;
  }
  out.dual_out.resize(outputs.size());
  out.dual_in.resize(at(count));
  std::size_t balance = 0, answer = 0, capacity = 0;  // the next slot of each kind
  for (int begin = 0; begin < count; begin += width) {
    const int end = std::min(begin + width, count);
    for (int i = 0; i < count; ++i) {
      out.dual_in[at(i)] = i >= begin && i < end ? Gradient::variable(out.in[at(i)], i - begin)
                                                 : Gradient(out.in[at(i)]);
    }
    e.evaluate(out.dual_in.data(), out.dual_out.data());
    for (std::size_t o = 0; begin == 0 && o < outputs.size(); ++o) {
      add_value(outputs[o], out.dual_out[o].value, out);
    }
    // Slots stand by input.
    const auto add = [&](const std::vector<Slot>& slots, std::size_t& next) {
      for (; next < slots.size() && slots[next].input < end; ++next) {
        const Slot& slot = slots[next];
        out.slope[at(slot.place)] += out.dual_out[at(slot.output)].slope[at(slot.input - begin)] *
                                     out.factor[at(slot.by_input)] * out.factor[at(slot.by_output)];
      }
    };
    add(plan_->elements[index].balance, balance);
    if (slopes != Slopes::by_unknown) add(plan_->elements[index].answer, answer);
    if (slopes == Slopes::in_time) add(plan_->elements[index].capacity, capacity);
  }
}

// A node's temperature is that of what flows into it, warmed by what heats it:
//   0 = sum of shares (T_branch - T) + heat / (c all)
void Circuit::mix(std::span<const double> x, Slopes slopes, Evaluation& out) const {
  for (const Mixing& mixing : plan_->mixing) {
    const double temperature = x[at(mixing.unknown)];
    const double by_heat =
        out.factor[at(factor::node(static_cast<int>(branches_.size()), mixing.node))];
    const double warming = out.node_heat[at(mixing.node)] * by_heat;
    double residual = warming, shares = 0.0;
    for (const Meeting& meeting : mixing.meetings) {
      const double share = out.factor[at(meeting.factor)];
      residual += share * (out.outlet[at(meeting.branch)] - temperature);
      shares += share;
    }
    out.residual[at(mixing.unknown)] = residual;
    if (slopes == Slopes::none) continue;
    out.slope[at(mixing.own_place)] -= shares;
    if (mixing.heated && mixing.heat >= 0) {
      out.slope[at(mixing.heat_place)] -= warming / x[at(mixing.heat)];
    }
    for (const Meeting& meeting : mixing.meetings) {
      // d brought / d m = brought / |m|
      const double by_flow = meeting.inward * out.factor[at(meeting.factor)] /
                             carrying_flow(out.flow[at(meeting.branch)]);
      out.slope[at(meeting.flow_place)] +=
          by_flow * (out.outlet[at(meeting.branch)] - temperature - residual);
    }
  }
}

void Circuit::set_inflow_factors(std::span<const double> x, Evaluation& out) const {
  for (const Inflow& in : plan_->inflows) {
    const double m = in.inward * out.flow[at(in.branch)];
    out.factor[at(in.factor)] = x[at(in.heat_unknown)] * brought(m, carrying_flow(m));
  }
}

// Coolant carries heat into the states at both ends of a branch, where it enters. As the
// nodes count what a branch brings to its ends by the same shares, no heat is lost.
void Circuit::add_inflows(std::span<const double> x, Slopes slopes, Evaluation& out) const {
  for (const Inflow& in : plan_->inflows) {
    const double rate = out.factor[at(in.factor)];
    const double temperature =
        in.source.outlet >= 0 ? out.outlet[at(in.source.outlet)] : x[at(in.source.unknown)];
    out.residual[at(in.state_unknown)] += rate * temperature;
    if (slopes == Slopes::none) continue;
    // d brought / d m = brought / |m|
    out.slope[at(in.flow_place)] +=
        in.inward * rate * temperature / carrying_flow(out.flow[at(in.branch)]);
    out.slope[at(in.heat_place)] += rate * temperature / x[at(in.heat_unknown)];
    if (in.source_place >= 0) out.slope[at(in.source_place)] += rate;
  }
}

void Circuit::close_definitions(std::span<const double> x, Slopes slopes, Evaluation& out) const {
  for (std::size_t a = 0; a < aux_.size(); ++a) {
    const std::size_t row = at(aux_row(static_cast<int>(a)));
    out.residual[row] -= x[row];
    if (slopes != Slopes::none) out.slope[at(plan_->own_aux[a])] -= 1.0;
  }
}

// Drops around every loop, from the pressures along the trees.
void Circuit::close_loops(Evaluation& out) const {
  out.drops.resize(forest_.chords.size());
  out.magnitude.resize(nodes_.size());
  climb(forest_, out.drop, out.sum);
  // A drop may be the small difference of a machine's rise and what resists it: rounding
  // of these must not count as an imbalance. The last slope known tells their size.
  const auto size = [&](std::size_t b) {
    const double moved = out.slope.empty() ? 0.0 : out.slope[at(plan_->own_slope[b])];
    return std::abs(out.drop[b]) + 1e-5 * std::abs(moved * out.flow[b]);
  };
  for (const int n : forest_.order) {
    const int e = forest_.up[at(n)];
    out.magnitude[at(n)] = e < 0 ? 0.0 : out.magnitude[at(forest_.above[at(n)])] + size(at(e));
  }
  for (std::size_t l = 0; l < forest_.chords.size(); ++l) {
    const std::size_t chord = at(forest_.chords[l]);
    const std::size_t from = at(edges_[chord].from), to = at(edges_[chord].to);
    out.residual[l] = out.drop[chord] + difference(out.sum[to], out.sum[from]);
    out.drops[l] = size(chord) + out.magnitude[from] + out.magnitude[to] -
                   2.0 * out.magnitude[at(forest_.meeting[l])];
  }
}

void Circuit::evaluate(std::span<const double> x, Slopes slopes, Evaluation& out) const {
  reset(slopes, out);
  spread(forest_, edges_, x, out.sum, out.flow);
  set_inlets(x, out);
  set_weights(x, out);
  set_inflow_factors(x, out);
  for (std::size_t e = 0; e < elements_.size(); ++e) {
    gather(*elements_[e], x, out);
    evaluate_element(e, slopes, out);
  }
  mix(x, slopes, out);
  add_inflows(x, slopes, out);
  close_definitions(x, slopes, out);
  close_loops(out);
  if (slopes == Slopes::none) return;
  for (const Chain& chain : plan_->chains) {
    out.slope[at(chain.to)] += out.slope[at(chain.from)] * out.factor[at(chain.factor)];
  }
}

}  // namespace libloop::network
