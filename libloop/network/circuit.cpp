#include "libloop/network/circuit.hpp"

#include <algorithm>
#include <utility>

#include "libloop/network/plan.hpp"

namespace libloop::network {
namespace {

template <class Value>
int append(std::vector<Value>& list, Value value) {
  list.push_back(std::move(value));
  return static_cast<int>(list.size()) - 1;
}

}  // namespace

int Circuit::add_state(std::string name) { return append(states_, std::move(name)); }

int Circuit::add_aux(std::string name, double first_guess) {
  return append(aux_, std::make_pair(std::move(name), first_guess));
}

int Circuit::add_stream(Stream stream) { return append(streams_, std::move(stream)); }

int Circuit::add_node(int stream, std::string name) {
  Node node;
  node.stream = stream;
  node.name = std::move(name);
  return append(nodes_, std::move(node));
}

int Circuit::add_node(int stream, Input temperature, std::string name) {
  const int node = add_node(stream, std::move(name));
  nodes_[at(node)].given = true;
  nodes_[at(node)].temperature = temperature;
  return node;
}

int Circuit::add_branch(Branch branch) { return append(branches_, std::move(branch)); }

Element& Circuit::add(std::unique_ptr<Element> element) {
  for (const int q : element->quantities()) quantities_ = std::max(quantities_, q + 1);
  elements_.push_back(std::move(element));
  return *elements_.back();
}

void Circuit::prepare(std::span<const double> quantities) {
  values_.assign(quantities.begin(), quantities.end());
  for (std::size_t e = 0; e < elements_.size(); ++e) prepare_element(e);
}

void Circuit::prepare(std::span<const int> moved, std::span<const double> values) {
  for (std::size_t i = 0; i < moved.size(); ++i) values_[at(moved[i])] = values[i];
  for (const int e : users_of(moved)) prepare_element(at(e));
}

void Circuit::prepare_element(std::size_t index) {
  local_.clear();
  for (const int q : elements_[index]->quantities()) local_.push_back(values_[at(q)]);
  elements_[index]->prepare(local_.data());
}

// Each once, in their order.
std::vector<int> Circuit::users_of(std::span<const int> moved) const {
  std::vector<int> all;
  for (const int q : moved) all.insert(all.end(), users_[at(q)].begin(), users_[at(q)].end());
  std::sort(all.begin(), all.end());
  all.erase(std::unique(all.begin(), all.end()), all.end());
  return all;
}

std::string Circuit::name(int unknown) const {
  if (unknown < loops()) return "the flow through " + branches_[at(chord(unknown))].name;
  if (unknown < aux_row(0)) return states_[at(unknown - state_row(0))];
  if (unknown < aux_row(auxiliaries())) return aux_[at(unknown - aux_row(0))].first;
  const auto node = std::find(node_rows_.begin(), node_rows_.end(), unknown);
  return nodes_[static_cast<std::size_t>(node - node_rows_.begin())].name;
}

std::vector<double> Circuit::flows(std::span<const double> x) const {
  std::vector<Sum> scratch;
  std::vector<double> all;
  spread(forest_, edges_, x, scratch, all);
  return all;
}

double Circuit::flow(std::span<const double> x, int branch) const { return flows(x)[at(branch)]; }

std::vector<double> Circuit::pressures(const Evaluation& work) const {
  std::vector<Sum> climbed;
  climb(forest_, work.drop, climbed);
  std::vector<double> all;
  for (const Sum& sum : climbed) all.push_back(sum.value());
  return all;
}

std::vector<double> Circuit::temperatures(std::span<const double> x, const Evaluation& work) const {
  std::vector<double> all(nodes_.size(), 0.0);
  for (std::size_t n = 0; n < nodes_.size(); ++n) {
    const Source& source = plan_->sources[n];
    if (source.unknown >= 0) all[n] = x[at(source.unknown)];
  }
  for (const int node : plan_->passing) {
    for (std::size_t b = 0; b < branches_.size(); ++b) {
      const double m = work.flow[b];
      const int leaves = m >= 0.0 ? branches_[b].to : branches_[b].from;
      if (leaves == node) all[at(node)] = work.outlet[b];
    }
  }
  return all;
}

std::vector<double> Circuit::start(double temperature) const {
  std::vector<double> x;
  for (const int chord : forest_.chords) x.push_back(branches_[at(chord)].guess);
  x.insert(x.end(), states_.size(), temperature);
  for (const auto& [name, guess] : aux_) x.push_back(guess);
  x.resize(at(unknowns_), temperature);
  return x;
}

void Circuit::notes(std::span<const double> x, Notes& notes) const {
  Evaluation values;
  evaluate(x, Slopes::none, values);
  for (const auto& element : elements_) {
    gather(*element, x, values);
    element->notes(values.in.data(), notes);
  }
}

}  // namespace libloop::network
