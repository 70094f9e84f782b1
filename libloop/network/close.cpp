// Closing a circuit: independent loops, unknown node temperatures, and the place of every
// slope.
#include <algorithm>
#include <map>
#include <numeric>
#include <stdexcept>
#include <utility>

#include "libloop/network/linear.hpp"
#include "libloop/network/plan.hpp"

namespace libloop::network {

class Planner {
 public:
  explicit Planner(Circuit& circuit)
      : c_(circuit),
        branches_(static_cast<int>(c_.branches_.size())),
        nodes_(static_cast<int>(c_.nodes_.size())) {}

  void run() {
    find_loops();
    look_at_elements();
    number_nodes();
    plan_.rows = branches_ + c_.unknowns_ - c_.loops();
    find_sources();
    place_own_slopes();
    for (const auto& element : c_.elements_) plan_element(*element);
    plan_mixing();
    plan_inflows();
    plan_stored();
    list_users();
    add_scatter(c_, plan_);
    c_.plan_ = std::make_shared<const Plan>(std::move(plan_));
  }

 private:
  // ---- loops

  void find_loops() {
    c_.edges_.clear();
    for (const Branch& b : c_.branches_) c_.edges_.push_back({b.from, b.to});
    c_.forest_ = spanning_forest(nodes_, c_.edges_);
    sort_by_stream(c_.forest_);
  }

  void sort_by_stream(Forest& forest) const {
    const std::vector<int> chords = forest.chords, meeting = forest.meeting;
    std::vector<std::size_t> order(chords.size());
    std::iota(order.begin(), order.end(), 0u);
    const auto stream = [&](std::size_t i) { return c_.branches_[at(chords[i])].stream; };
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return stream(a) < stream(b); });
    for (std::size_t i = 0; i < order.size(); ++i) {
      forest.chords[i] = chords[order[i]];
      forest.meeting[i] = meeting[order[i]];
    }
  }

  // ---- which nodes have a temperature of their own

  void look_at_elements() {
    ends_.assign(at(nodes_), 0);
    for (const Branch& b : c_.branches_) {
      ++ends_[at(b.from)];
      ++ends_[at(b.to)];
    }
    stated_.assign(at(branches_), 0);
    heated_.assign(at(nodes_), false);
    asked_.assign(at(nodes_), false);
    inlet_asked_.assign(at(branches_), false);
    for (const auto& element : c_.elements_) {
      for (const Input& input : element->inputs()) look_at(input);
      for (const Output& output : element->outputs()) {
        if (output.kind == Output::Kind::outlet) ++stated_[at(output.index)];
        if (output.kind == Output::Kind::node_heat) heated_[at(output.index)] = true;
      }
    }
    warm_.assign(c_.streams_.size(), false);
    for (int b = 0; b < branches_; ++b) {
      if (stated_[at(b)] > 0) warm_[at(c_.branches_[at(b)].stream)] = true;
    }
    for (int b = 0; b < branches_; ++b) check_outlet(b);
  }

  void look_at(const Input& input) {
    if (input.kind == Input::Kind::node) asked_[at(input.index)] = true;
    if (input.kind != Input::Kind::inlet) return;
    const Branch& b = c_.branches_[at(input.index)];
    inlet_asked_[at(input.index)] = true;
    asked_[at(b.from)] = asked_[at(b.to)] = true;
  }

  void check_outlet(int b) const {
    const Branch& branch = c_.branches_[at(b)];
    if (stated_[at(b)] > 1) {
      throw std::logic_error("several elements state the outlet of branch: " + branch.name);
    }
    if (warm_[at(branch.stream)] && stated_[at(b)] == 0) {
      throw std::logic_error("no element states the outlet of branch: " + branch.name);
    }
  }

  bool passes(int n) const {
    const Node& node = c_.nodes_[at(n)];
    const bool idle = ends_[at(n)] == 0 && !asked_[at(n)];
    const bool between = c_.streams_[at(node.stream)].stores_heat && ends_[at(n)] == 2;
    return !heated_[at(n)] && (idle || (between && !asked_[at(n)]));
  }

  void number_nodes() {
    c_.node_rows_.assign(at(nodes_), -1);
    c_.unknowns_ = c_.loops() + c_.states() + c_.auxiliaries();
    for (int n = 0; n < nodes_; ++n) {
      const Node& node = c_.nodes_[at(n)];
      if (node.given) continue;
      if (!warm_[at(node.stream)] && !heated_[at(n)]) {
        if (asked_[at(n)]) throw std::logic_error("nothing warms node: " + node.name);
        continue;
      }
      if (passes(n)) {
        plan_.passing.push_back(n);
        continue;
      }
      if (ends_[at(n)] == 0 && !heated_[at(n)]) {
        throw std::logic_error("nothing flows into node: " + node.name);
      }
      c_.node_rows_[at(n)] = c_.unknowns_++;
    }
  }

  void find_sources() {
    for (int n = 0; n < nodes_; ++n) {
      const Node& node = c_.nodes_[at(n)];
      Source source;
      source.unknown = node.given ? unknown_of(node.temperature) : c_.node_row(n);
      plan_.sources.push_back(source);
    }
    plan_.other.assign(at(2 * branches_), -1);
    std::vector<int> first(at(nodes_), -1);
    for (int end = 0; end < 2 * branches_; ++end) {
      const int node = node_at(end);
      if (first[at(node)] < 0) {
        first[at(node)] = end;
      } else if (ends_[at(node)] == 2) {
        plan_.other[at(end)] = first[at(node)] / 2;
        plan_.other[at(first[at(node)])] = end / 2;
      }
    }
  }

  // Ends of branches: 2 b where branch b starts, 2 b + 1 where it ends.
  int node_at(int end) const {
    const Branch& b = c_.branches_[at(end / 2)];
    return end % 2 == 0 ? b.from : b.to;
  }

  int unknown_of(const Input& input) const {
    switch (input.kind) {
      case Input::Kind::state:
        return c_.state_row(input.index);
      case Input::Kind::aux:
        return c_.aux_row(input.index);
      case Input::Kind::node:
        return plan_.sources[at(input.index)].unknown;
      case Input::Kind::flow:
      case Input::Kind::inlet:
        break;
    }
    throw std::logic_error("no temperature of a state, an auxiliary or a node");
  }

  // ---- places

  int place(int row, int column) {
    const auto [entry, fresh] =
        known_.try_emplace({row, column}, static_cast<int>(plan_.places.size()));
    if (fresh) plan_.places.push_back({row, column});
    return entry->second;
  }

  int outlet_row(int branch) const { return plan_.rows + branch; }
  int answer_row(int answer) const { return plan_.rows + branches_ + answer; }
  int capacity_row(int state) const { return answer_row(c_.answers()) + state; }
  int column(int unknown) const { return wide(c_, unknown); }

  void place_own_slopes() {
    for (int b = 0; b < branches_; ++b) plan_.own_slope.push_back(place(b, b));
    for (int s = 0; s < c_.states(); ++s) {
      plan_.own_state.push_back(place(column(c_.state_row(s)), column(c_.state_row(s))));
    }
    for (int a = 0; a < c_.auxiliaries(); ++a) {
      plan_.own_aux.push_back(place(column(c_.aux_row(a)), column(c_.aux_row(a))));
    }
    for (int b = 0; b < branches_; ++b) {
      if (inlet_asked_[at(b)]) plan_.inlets.push_back(b);
    }
  }

  // ---- elements

  struct Target {
    int row = 0, factor = factor::one;
  };

  // The row an output adds to; below zero: none.
  Target row_of(const Output& output) const {
    switch (output.kind) {
      case Output::Kind::drop:
        return {output.index};
      case Output::Kind::outlet:
        return {outlet_row(output.index)};
      case Output::Kind::heat:
        return {output.index == nowhere ? -1 : column(c_.state_row(output.index))};
      case Output::Kind::node_heat:
        return heat_target(output.index);
      case Output::Kind::capacity:
        return {output.index == nowhere ? -1 : capacity_row(output.index)};
      case Output::Kind::define:
        return {column(c_.aux_row(output.index))};
      case Output::Kind::answer:
        return {answer_row(output.index)};
    }
    return {-1};
  }

  // Heat into a node whose temperature is given is lost to whoever gives it.
  Target heat_target(int node) const {
    if (c_.node_row(node) < 0) return {-1};
    return {column(c_.node_row(node)), factor::node(branches_, node)};
  }

  std::vector<Target> columns_of(const Input& input) const {
    if (input.kind == Input::Kind::flow) return {{input.index}};
    if (input.kind != Input::Kind::inlet) return {{column(unknown_of(input))}};
    const int b = input.index;
    const Branch& branch = c_.branches_[at(b)];
    const int start = plan_.sources[at(branch.from)].unknown;
    const int end = plan_.sources[at(branch.to)].unknown;
    return {{column(start), factor::branch(b, factor::from_start)},
            {column(end), factor::branch(b, factor::from_end)},
            {b, factor::branch(b, factor::turning)}};
  }

  void plan_element(const Element& e) {
    ElementPlan plan;
    for (int i = 0; i < static_cast<int>(e.inputs().size()); ++i) {
      const std::vector<Target> columns = columns_of(e.inputs()[at(i)]);
      for (int o = 0; o < static_cast<int>(e.outputs().size()); ++o) {
        const Output& output = e.outputs()[at(o)];
        const Target row = row_of(output);
        if (row.row < 0) continue;
        std::vector<Slot>& slots = output.kind == Output::Kind::answer     ? plan.answer
                                   : output.kind == Output::Kind::capacity ? plan.capacity
                                                                           : plan.balance;
        for (const Target& c : columns) {
          slots.push_back({o, i, place(row.row, c.row), c.factor, row.factor});
        }
      }
    }
    plan_.elements.push_back(std::move(plan));
  }

  // ---- nodes and inflows

  // Columns of what leaves a branch. Elements are planned by now.
  std::vector<std::pair<int, int>> outlet_places(int branch) const {
    std::vector<std::pair<int, int>> all;
    const int row = outlet_row(branch);
    for (auto i = known_.lower_bound({row, 0}); i != known_.end() && i->first.first == row; ++i) {
      all.emplace_back(i->first.second, i->second);
    }
    return all;
  }

  void chain(int branch, int row, int factor) {
    for (const auto& [column, from] : outlet_places(branch)) {
      plan_.chains.push_back({from, place(row, column), factor});
    }
  }

  void plan_mixing() {
    std::vector<std::size_t> mixing_of(at(nodes_));
    for (int n = 0; n < nodes_; ++n) {
      if (c_.node_row(n) < 0) continue;
      mixing_of[at(n)] = plan_.mixing.size();
      plan_.mixing.push_back(mixing_at(n));
    }
    for (int end = 0; end < 2 * branches_; ++end) {
      const int node = node_at(end), b = end / 2;
      if (c_.node_row(node) < 0) continue;
      const int row = column(c_.node_row(node));
      const bool starts = end % 2 == 0;
      const int f = factor::branch(b, starts ? factor::into_start : factor::into_end);
      plan_.mixing[mixing_of[at(node)]].meetings.push_back(
          {b, starts ? -1.0 : 1.0, f, place(row, b)});
      chain(b, row, f);
    }
  }

  Mixing mixing_at(int n) {
    const Stream& stream = c_.streams_[at(c_.nodes_[at(n)].stream)];
    Mixing m;
    m.node = n;
    m.unknown = c_.node_row(n);
    m.heated = heated_[at(n)];
    m.own_place = place(column(m.unknown), column(m.unknown));
    if (stream.stores_heat) {
      m.heat = c_.aux_row(stream.specific_heat);
      m.heat_place = place(column(m.unknown), column(m.heat));
    } else if (m.heated && stream.air_heat <= 0.0) {
      throw std::logic_error("a heated node needs the specific heat of stream: " + stream.name);
    } else {
      m.constant_heat = stream.air_heat;
    }
    return m;
  }

  void plan_inflows() {
    for (int b = 0; b < branches_; ++b) {
      const Branch& branch = c_.branches_[at(b)];
      const Stream& stream = c_.streams_[at(branch.stream)];
      if (!stream.stores_heat || branch.first == nowhere) continue;
      add_inflow(2 * b, branch.first, factor::inflow_forward, stream);
      add_inflow(2 * b + 1, branch.last, factor::inflow_backward, stream);
    }
  }

  void add_inflow(int end, int state, factor::OfBranch kind, const Stream& stream) {
    Inflow in;
    in.branch = end / 2;
    in.inward = end % 2 == 0 ? 1.0 : -1.0;
    in.state_unknown = c_.state_row(state);
    in.heat_unknown = c_.aux_row(stream.specific_heat);
    in.factor = factor::branch(in.branch, kind);
    in.source = plan_.sources[at(node_at(end))];
    const int row = column(in.state_unknown);
    in.flow_place = place(row, in.branch);
    in.heat_place = place(row, column(in.heat_unknown));
    if (in.source.unknown < 0) {
      in.source.outlet = plan_.other[at(end)];
      chain(in.source.outlet, row, in.factor);
    } else {
      in.source_place = place(row, column(in.source.unknown));
    }
    plan_.inflows.push_back(in);
  }

  // ---- capacities, and who has which quantity

  void plan_stored() {
    const int first = capacity_row(0);
    for (std::size_t p = 0, known = plan_.places.size(); p < known; ++p) {
      const auto [row, col] = plan_.places[p];
      if (row < first) continue;
      const int state = row - first;
      plan_.stored.push_back({state, static_cast<int>(p), place(column(c_.state_row(state)), col)});
    }
  }

  void list_users() {
    c_.users_.assign(at(c_.quantities()), {});
    for (std::size_t e = 0; e < c_.elements_.size(); ++e) {
      for (const int q : c_.elements_[e]->quantities()) {
        c_.users_[at(q)].push_back(static_cast<int>(e));
      }
    }
  }

  Circuit& c_;
  int branches_, nodes_;
  Plan plan_;
  std::vector<int> ends_, stated_;
  std::vector<bool> heated_, asked_, inlet_asked_, warm_;
  std::map<std::pair<int, int>, int> known_;
};

void Circuit::close() { Planner(*this).run(); }

}  // namespace libloop::network
