#include "libloop/network/owners.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace libloop::network {
namespace {

// A change along the mode stands in two slopes of a Gradient.
Complex change_of(const Gradient& g) { return {g.slope[0], g.slope[1]}; }

Gradient with_change(double value, Complex change) {
  Gradient g(value);
  g.slope[0] = change.real();
  g.slope[1] = change.imag();
  return g;
}

// Derivative of a function of a scale by its logarithm, at 1. Slopes by unknown are exact; an
// element is not written for second derivatives, so theirs by a scale is a difference: of fourth
// order, since a smooth function near 1 leaves some step^4/30 of truncation and 1e-16/step of
// rounding, with 1e-3 both below 1e-12 of its size.
template <class Function>
Complex by_logarithm(Function&& at_scale) {
  constexpr double step = 1e-3;
  const Complex wide = at_scale(1.0 + 2.0 * step) - at_scale(1.0 - 2.0 * step);
  const Complex narrow = at_scale(1.0 + step) - at_scale(1.0 - step);
  return (8.0 * narrow - wide) / (12.0 * step);
}

std::vector<Share> sorted(const std::map<std::string, Complex>& all, Complex lambda,
                          Complex weight) {
  std::vector<Share> shares;
  for (const auto& [name, part] : all) {
    shares.push_back({name, (weight * part).real() / lambda.real()});
  }
  std::stable_sort(shares.begin(), shares.end(), [](const Share& a, const Share& b) {
    return std::abs(a.share) > std::abs(b.share);
  });
  return shares;
}

}  // namespace

Owners::Owners(const Circuit& circuit, std::span<const double> x, const Evaluation& work,
               std::span<const double> extra, std::span<const std::string> extra_names)
    : circuit_(circuit),
      plan_(circuit.plan()),
      x_(x),
      work_(work),
      extra_(extra),
      extra_names_(extra_names) {}

void Owners::find(const ModeVectors& vectors, Mode& mode) {
  mode_ = &vectors;
  follow_elements();
  weigh_outlets();
  Named capacities, conductances;
  add_capacities(capacities);
  add_conductances(conductances);
  add_streams(conductances);
  add_extra(conductances);
  mode.capacities = sorted(capacities, vectors.lambda, vectors.lambda);
  mode.conductances = sorted(conductances, vectors.lambda, -1.0);
}

// What an element reads, with its change along the mode.
Gradient Owners::read(const Input& input) const {
  const auto unknown = [&](int index) {
    return with_change(x_[at(index)], mode_->right[column(index)]);
  };
  switch (input.kind) {
    case Input::Kind::flow:
      return with_change(work_.flow[at(input.index)], mode_->right[at(input.index)]);
    case Input::Kind::state:
      return unknown(circuit_.state_row(input.index));
    case Input::Kind::aux:
      return unknown(circuit_.aux_row(input.index));
    case Input::Kind::node:
      return unknown(plan_.sources[at(input.index)].unknown);
    case Input::Kind::inlet:
      break;
  }
  const Branch& branch = circuit_.branches()[at(input.index)];
  const double* f = &work_.factor[at(factor::branch(input.index, factor::from_start))];
  const Complex change =
      f[factor::from_start] * mode_->right[column(plan_.sources[at(branch.from)].unknown)] +
      f[factor::from_end] * mode_->right[column(plan_.sources[at(branch.to)].unknown)] +
      f[factor::turning] * mode_->right[at(input.index)];
  return with_change(work_.inlet[at(input.index)], change);
}

// What leaves every branch, with its change along the mode.
void Owners::follow_elements() {
  outlet_.assign(circuit_.branches().size(), Gradient(0.0));
  for (const auto& element : circuit_.elements()) {
    const std::vector<Output>& outputs = element->outputs();
    const bool leaves = std::any_of(outputs.begin(), outputs.end(),
                                    [](const Output& o) { return o.kind == Output::Kind::outlet; });
    if (!leaves) continue;
    in_.clear();
    for (const Input& input : element->inputs()) in_.push_back(read(input));
    out_.resize(outputs.size());
    element->evaluate(in_.data(), out_.data());
    for (std::size_t o = 0; o < outputs.size(); ++o) {
      if (outputs[o].kind == Output::Kind::outlet) outlet_[at(outputs[o].index)] = out_[o];
    }
  }
}

// Relative change along the mode of c x what a branch brings to one of its ends, to which a
// flow runs that is positive times `inward`: d brought/d m = brought/|m|. `heat` is the unknown
// that is c; -1: a constant.
Complex Owners::flow_and_heat(int branch, double inward, int heat) const {
  const Complex flow = inward * mode_->right[at(branch)] / carrying_flow(work_.flow[at(branch)]);
  return heat < 0 ? flow : flow + mode_->right[column(heat)] / x_[at(heat)];
}

// What leaves a branch enters nodes and states. As c m T it weighs by its own change, and by
// its value with the change of c m.
void Owners::weigh_outlets() {
  of_outlet_.assign(circuit_.branches().size(), {});
  const auto add = [&](int branch, Complex weight, Complex relative) {
    of_outlet_[at(branch)].change += weight;
    of_outlet_[at(branch)].value += weight * relative;
  };
  for (const Mixing& mixing : plan_.mixing) {
    for (const Meeting& meeting : mixing.meetings) {
      add(meeting.branch, mode_->left[column(mixing.unknown)] * work_.factor[at(meeting.factor)],
          flow_and_heat(meeting.branch, meeting.inward, mixing.heat));
    }
  }
  for (const Inflow& in : plan_.inflows) {
    if (in.source.outlet < 0) continue;
    add(in.source.outlet, mode_->left[column(in.state_unknown)] * work_.factor[at(in.factor)],
        flow_and_heat(in.branch, in.inward, in.heat_unknown));
  }
}

Owners::Weight Owners::weight_of(const Output& output) const {
  switch (output.kind) {
    case Output::Kind::drop:
      return {mode_->left[at(output.index)], 0.0};
    case Output::Kind::outlet:
      return of_outlet_[at(output.index)];
    case Output::Kind::heat:
      if (output.index == nowhere) return {};
      return {mode_->left[column(circuit_.state_row(output.index))], 0.0};
    case Output::Kind::node_heat: {
      const int unknown = circuit_.node_row(output.index);
      const int branches = static_cast<int>(circuit_.branches().size());
      if (unknown < 0) return {};
      return {mode_->left[column(unknown)] * work_.factor[at(factor::node(branches, output.index))],
              0.0};
    }
    case Output::Kind::define:
      return {mode_->left[column(circuit_.aux_row(output.index))], 0.0};
    case Output::Kind::capacity:
    case Output::Kind::answer:
      break;
  }
  return {};
}

// An element's part of left' J right, and of what else changes with what leaves it; with
// auxiliary `aux`, if any, as it reads it times `factor`.
Complex Owners::weighed(const Element& element, const std::vector<Weight>& weights, int aux,
                        double factor) {
  const std::vector<Input>& inputs = element.inputs();
  in_.clear();
  for (const Input& input : inputs) {
    const Gradient value = read(input);
    const bool scaled = input.kind == Input::Kind::aux && input.index == aux;
    in_.push_back(scaled ? value * factor : value);
  }
  out_.resize(weights.size());
  element.evaluate(in_.data(), out_.data());
  Complex sum = 0.0;
  for (std::size_t o = 0; o < weights.size(); ++o) {
    if (weights[o].change == 0.0 && weights[o].value == 0.0) continue;
    sum += weights[o].change * change_of(out_[o]) + weights[o].value * out_[o].value;
  }
  return sum;
}

std::vector<Owners::Weight> Owners::weights_of(const Element& element) const {
  std::vector<Weight> weights;
  for (const Output& output : element.outputs()) weights.push_back(weight_of(output));
  return weights;
}

// Derivative of left' J right by the logarithm of one conductance.
Complex Owners::by_scale(Element& element, int which) {
  const std::vector<Weight> weights = weights_of(element);
  const Complex part = by_logarithm([&](double factor) {
    element.scale(which, factor);
    return weighed(element, weights, nowhere, 1.0);
  });
  element.scale(which, 1.0);
  return part;
}

// The same by what an element hands on: of all that read it.
Complex Owners::by_auxiliary(int aux) {
  Complex sum = 0.0;
  for (const auto& reader : circuit_.elements()) {
    const std::vector<Input>& inputs = reader->inputs();
    const bool reads = std::any_of(inputs.begin(), inputs.end(), [&](const Input& input) {
      return input.kind == Input::Kind::aux && input.index == aux;
    });
    if (!reads) continue;
    const std::vector<Weight> weights = weights_of(*reader);
    sum += by_logarithm([&](double factor) { return weighed(*reader, weights, aux, factor); });
  }
  return sum;
}

void Owners::add_conductances(Named& all) {
  for (const auto& element : circuit_.elements()) {
    const std::vector<Conductance> own = element->conductances();
    for (int k = 0; k < static_cast<int>(own.size()); ++k) {
      Complex& part = all[own[at(k)].name];
      part += by_scale(*element, k);
      if (!own[at(k)].handed_on) continue;
      for (const Output& output : element->outputs()) {
        if (output.kind == Output::Kind::define) part += by_auxiliary(output.index);
      }
    }
  }
}

void Owners::add_capacities(Named& all) const {
  std::vector<double> in, out;
  for (const auto& element : circuit_.elements()) {
    const std::vector<Output>& outputs = element->outputs();
    const std::vector<std::string> names = element->stores();
    in.clear();
    for (const Input& input : element->inputs()) in.push_back(read(input).value);
    out.resize(outputs.size());
    element->evaluate(in.data(), out.data());
    std::size_t next = 0;
    for (std::size_t o = 0; o < outputs.size(); ++o) {
      if (outputs[o].kind != Output::Kind::capacity) continue;
      const std::string& name = next < names.size() ? names[next] : element->name();
      ++next;
      if (outputs[o].index == nowhere) continue;
      const std::size_t state = column(circuit_.state_row(outputs[o].index));
      all[name] += out[o] * mode_->left[state] * mode_->right[state];
    }
  }
}

// The circuit's own: heat carried into states and nodes. Nodes as balances of heat.
void Owners::add_streams(Named& all) const {
  const std::vector<Stream>& streams = circuit_.streams();
  for (const Mixing& mixing : plan_.mixing) {
    const Complex left = mode_->left[column(mixing.unknown)];
    const std::string name = streams[at(circuit_.nodes()[at(mixing.node)].stream)].name + " flow";
    for (const Meeting& meeting : mixing.meetings) {
      const Gradient& outlet = outlet_[at(meeting.branch)];
      const Complex change = change_of(outlet) - mode_->right[column(mixing.unknown)] +
                             flow_and_heat(meeting.branch, meeting.inward, mixing.heat) *
                                 (outlet.value - x_[at(mixing.unknown)]);
      all[name] += left * work_.factor[at(meeting.factor)] * change;
    }
  }
  for (const Inflow& in : plan_.inflows) {
    const Gradient entering =
        in.source.outlet >= 0
            ? outlet_[at(in.source.outlet)]
            : with_change(x_[at(in.source.unknown)], mode_->right[column(in.source.unknown)]);
    const Complex change =
        change_of(entering) + flow_and_heat(in.branch, in.inward, in.heat_unknown) * entering.value;
    const std::string name = streams[at(circuit_.branches()[at(in.branch)].stream)].name + " flow";
    all[name] += mode_->left[column(in.state_unknown)] * work_.factor[at(in.factor)] * change;
  }
}

void Owners::add_extra(Named& all) const {
  for (std::size_t s = 0; s < extra_.size(); ++s) {
    if (extra_[s] == 0.0) continue;
    const std::size_t state = column(circuit_.state_row(static_cast<int>(s)));
    const std::string name = s < extra_names_.size() ? extra_names_[s] : "leakage";
    all[name] += mode_->left[state] * extra_[s] * mode_->right[state];
  }
}

}  // namespace libloop::network
