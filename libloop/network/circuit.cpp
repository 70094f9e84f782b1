#include "libloop/network/circuit.hpp"

#include <algorithm>
#include <cmath>
#include <deque>
#include <stdexcept>

namespace libloop::network {
namespace {

constexpr int width = static_cast<int>(std::tuple_size_v<decltype(Gradient::slope)>);

std::size_t at(int index) { return static_cast<std::size_t>(index); }

template <class Value>
int append(std::vector<Value>& list, Value value) {
  list.push_back(std::move(value));
  return static_cast<int>(list.size()) - 1;
}

// (m + |m|)/2, smooth and above zero for every m, without cancellation.
double brought(double m) {
  const double carried = carrying_flow(m);
  return m >= 0.0 ? 0.5 * (m + carried) : 0.5 * least_flow * least_flow / (carried - m);
}

// row += d * slope, over all columns.
void add_scaled(double* row, double d, const double* slope, int columns) {
  for (int c = 0; c < columns; ++c) row[c] += d * slope[c];
}

}  // namespace

int Circuit::add_state(std::string name) { return append(states_, std::move(name)); }

int Circuit::add_aux(std::string name, double first_guess) {
  return append(aux_, std::make_pair(std::move(name), first_guess));
}

int Circuit::add_stream(Stream stream) { return append(streams_, std::move(stream)); }

int Circuit::add_node(int stream) {
  Node node;
  node.stream = stream;
  return append(nodes_, std::move(node));
}

int Circuit::add_node(int stream, Input temperature) {
  const int node = add_node(stream);
  nodes_[at(node)].given = true;
  nodes_[at(node)].temperature = temperature;
  return node;
}

int Circuit::add_branch(Branch branch) {
  const int index = static_cast<int>(branches_.size());
  nodes_[at(branch.from)].starting.push_back(index);
  nodes_[at(branch.to)].ending.push_back(index);
  return append(branches_, std::move(branch));
}

Element& Circuit::add(std::unique_ptr<Element> element) {
  for (const int q : element->quantities()) quantities_ = std::max(quantities_, q + 1);
  elements_.push_back(std::move(element));
  return *elements_.back();
}

void Circuit::close() {
  loops_of_.assign(branches_.size(), {});
  for (int s = 0; s < static_cast<int>(streams_.size()); ++s) close_stream(s);
  loops_ = static_cast<int>(chords_.size());
  plans_.clear();
  for (const auto& element : elements_) plan(*element);
}

// The rows an output adds to, with signs.
std::vector<Circuit::Entry> Circuit::rows_of(const Output& output) const {
  using Matrix = Entry::Matrix;
  std::vector<Entry> rows;
  const auto add = [&](Matrix matrix, int row, double sign) {
    Entry entry;
    entry.matrix = matrix;
    entry.row = row;
    entry.sign = sign;
    rows.push_back(entry);
  };
  switch (output.kind) {
    case Output::Kind::drop:
      for (const auto& [loop, sign] : loops_of_[at(output.index)]) add(Matrix::balance, loop, sign);
      break;
    case Output::Kind::outlet:
      add(Matrix::outlet, output.index, 1.0);
      break;
    case Output::Kind::heat:
      if (output.index != nowhere) add(Matrix::balance, state_row(output.index), 1.0);
      break;
    case Output::Kind::capacity:
      break;
    case Output::Kind::define:
      add(Matrix::balance, aux_row(output.index), 1.0);
      break;
    case Output::Kind::answer:
      add(Matrix::answer, output.index, 1.0);
      break;
  }
  return rows;
}

// Slopes by flows, states and auxiliaries always go to the same places: found once.
void Circuit::plan(const Element& e) {
  Plan plan;
  for (const Output& output : e.outputs()) plan.rows.push_back(rows_of(output));
  for (int i = 0; i < static_cast<int>(e.inputs().size()); ++i) {
    const Input& input = e.inputs()[at(i)];
    std::vector<Signed> columns;
    if (input.kind == Input::Kind::flow) columns = loops_of_[at(input.index)];
    if (input.kind == Input::Kind::state || input.kind == Input::Kind::aux) {
      columns.emplace_back(column(input), 1.0);
    }
    for (std::size_t o = 0; o < e.outputs().size(); ++o) {
      for (Entry entry : plan.rows[o]) {
        entry.output = o;
        entry.input = i;
        for (const auto& [c, sign] : columns) {
          plan.entries.push_back(entry);
          plan.entries.back().column = c;
          plan.entries.back().sign *= sign;
        }
      }
    }
  }
  plans_.push_back(std::move(plan));
}

// Spanning tree from the stream's first node; every branch outside it closes one loop,
// made of the branch and the tree's path from its end back to its start.
void Circuit::close_stream(int stream) {
  std::vector<Signed> to_parent(nodes_.size(), {-1, 0.0});  // branch and sign towards the root
  std::vector<int> depth(nodes_.size(), -1);
  std::vector<bool> in_tree(branches_.size(), false);
  std::deque<int> open;
  for (int n = 0; n < static_cast<int>(nodes_.size()) && open.empty(); ++n) {
    if (nodes_[at(n)].stream == stream) open.push_back(n);
  }
  if (open.empty()) return;
  depth[at(open.front())] = 0;
  const auto reach = [&](int from, int to, int branch, double sign) {
    if (depth[at(to)] >= 0) return;
    depth[at(to)] = depth[at(from)] + 1;
    to_parent[at(to)] = {branch, sign};
    in_tree[at(branch)] = true;
    open.push_back(to);
  };
  while (!open.empty()) {
    const int n = open.front();
    open.pop_front();
    for (const int b : nodes_[at(n)].starting) reach(n, branches_[at(b)].to, b, -1.0);
    for (const int b : nodes_[at(n)].ending) reach(n, branches_[at(b)].from, b, 1.0);
  }
  const auto parent = [&](int n) {
    const Branch& b = branches_[at(to_parent[at(n)].first)];
    return b.from == n ? b.to : b.from;
  };
  for (int b = 0; b < static_cast<int>(branches_.size()); ++b) {
    const Branch& chord = branches_[at(b)];
    if (chord.stream != stream) continue;
    if (depth[at(chord.from)] < 0) throw std::logic_error("branch not joined: " + chord.name);
    if (in_tree[at(b)]) continue;
    const int loop = append(chords_, b);
    loops_of_[at(b)].push_back({loop, 1.0});
    // Up from both ends until they meet: along the path from `to`, against it to `from`.
    int up = chord.to, down = chord.from;
    while (up != down) {
      const bool rise = depth[at(up)] >= depth[at(down)];
      int& node = rise ? up : down;
      const auto [branch, sign] = to_parent[at(node)];
      loops_of_[at(branch)].push_back({loop, rise ? sign : -sign});
      node = parent(node);
    }
  }
}

void Circuit::prepare(std::span<const double> quantities) {
  values_.assign(quantities.begin(), quantities.end());
  std::vector<double> local;
  for (const auto& element : elements_) {
    local.clear();
    for (const int q : element->quantities()) local.push_back(values_[at(q)]);
    element->prepare(local.data());
  }
}

double Circuit::flow(std::span<const double> x, int branch) const {
  double m = 0.0;
  for (const auto& [loop, sign] : loops_of_[at(branch)]) m += sign * x[at(loop)];
  return m;
}

std::vector<double> Circuit::start(double temperature) const {
  std::vector<double> x;
  for (const int chord : chords_) x.push_back(branches_[at(chord)].guess);
  x.insert(x.end(), states_.size(), temperature);
  for (const auto& [name, guess] : aux_) x.push_back(guess);
  return x;
}

int Circuit::column(const Input& input) const {
  return input.kind == Input::Kind::state ? state_row(input.index) : aux_row(input.index);
}

// Temperature of what leaves a node, and its slopes when out.columns > 0.
//
// Branches count with what they bring. One that nominally ends here always brings a
// little, so that a node of a still stream has a temperature too; one that nominally
// starts here counts when coolant runs backwards (air is taken in its nominal order).
double Circuit::mixed(int node, std::span<const double> x, Evaluation& out, double* slope) const {
  const Node& here = nodes_[at(node)];
  const int columns = out.columns;
  std::fill_n(slope, columns, 0.0);
  if (here.given) {
    const int c = column(here.temperature);
    if (columns > 0) slope[c] = 1.0;
    return x[at(c)];
  }
  const bool stores = streams_[at(here.stream)].stores_heat;
  const auto visit = [&](auto&& each) {
    int backwards = 0;
    for (const int b : here.starting) {
      if (!stores || flow(x, b) >= 0.0) continue;
      each(b, -1.0);
      ++backwards;
    }
    for (const int b : here.ending) {
      // Beside a true backward flow the little of a still branch is left out.
      if (backwards == 0 || flow(x, b) > 0.0) each(b, 1.0);
    }
  };
  int bringing = 0;
  double weight = 0.0, heat = 0.0;
  visit([&](int b, double sign) {
    const double w = brought(sign * flow(x, b));
    ++bringing;
    weight += w;
    heat += w * out.outlet[at(b)];
  });
  const double temperature = heat / weight;
  if (columns == 0) return temperature;
  visit([&](int b, double sign) {
    const double m = sign * flow(x, b);
    const double w = brought(m);
    add_scaled(slope, w / weight, &out.outlet_slope[at(b) * at(columns)], columns);
    if (bringing == 1) return;
    // d brought / d m = brought / carrying_flow
    const double by_flow = w / carrying_flow(m) * sign * (out.outlet[at(b)] - temperature) / weight;
    for (const auto& [loop, s] : loops_of_[at(b)]) slope[loop] += by_flow * s;
  });
  return temperature;
}

void Circuit::gather(const Element& e, std::span<const double> x, Evaluation& out) const {
  const std::size_t inputs = e.inputs().size();
  out.in.resize(inputs);
  out.inlet_slope.resize(std::max(out.inlet_slope.size(), inputs * at(out.columns)));
  for (std::size_t i = 0; i < inputs; ++i) {
    const Input& input = e.inputs()[i];
    switch (input.kind) {
      case Input::Kind::flow:
        out.in[i] = flow(x, input.index);
        break;
      case Input::Kind::inlet:
        out.in[i] = mixed(branches_[at(input.index)].from, x, out,
                          out.inlet_slope.data() + i * at(out.columns));
        break;
      case Input::Kind::state:
      case Input::Kind::aux:
        out.in[i] = x[at(column(input))];
        break;
    }
  }
}

void Circuit::add_value(const Output& output, double value, Evaluation& out) const {
  switch (output.kind) {
    case Output::Kind::drop:
      for (const auto& [loop, sign] : loops_of_[at(output.index)]) {
        out.residual[at(loop)] += sign * value;
        out.drops[at(loop)] += std::abs(value);
      }
      break;
    case Output::Kind::outlet:
      out.outlet[at(output.index)] = value;
      break;
    case Output::Kind::heat:
      if (output.index != nowhere) out.residual[at(state_row(output.index))] += value;
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

double* Circuit::row_start(const Entry& entry, Evaluation& out) const {
  std::vector<double>& matrix = entry.matrix == Entry::Matrix::balance  ? out.slope
                                : entry.matrix == Entry::Matrix::outlet ? out.outlet_slope
                                                                        : out.answer_slope;
  return matrix.empty() ? nullptr : &matrix[at(entry.row) * at(out.columns)];
}

void Circuit::add_column(const std::vector<Entry>& rows, int column, double d,
                         Evaluation& out) const {
  for (const Entry& entry : rows) {
    if (double* row = row_start(entry, out)) row[column] += entry.sign * d;
  }
}

// Air that enters brings the slopes of all it met before.
void Circuit::add_inlet_slope(const std::vector<Entry>& rows, double d, const double* inlet_slope,
                              Evaluation& out) const {
  for (const Entry& entry : rows) {
    if (double* row = row_start(entry, out)) {
      add_scaled(row, entry.sign * d, inlet_slope, out.columns);
    }
  }
}

void Circuit::evaluate_element(std::size_t index, Slopes slopes, Evaluation& out) const {
  const Element& e = *elements_[index];
  const std::vector<Input>& inputs = e.inputs();
  const std::vector<Output>& outputs = e.outputs();
  if (slopes == Slopes::none || inputs.empty()) {
    out.value.resize(outputs.size());
    e.evaluate(out.in.data(), out.value.data());
    for (std::size_t o = 0; o < outputs.size(); ++o) add_value(outputs[o], out.value[o], out);
  }
  if (slopes == Slopes::none) return;
  out.dual_out.resize(outputs.size());
  out.dual_in.resize(inputs.size());
  const int count = static_cast<int>(inputs.size());
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
    for (const Entry& entry : plans_[index].entries) {
      if (entry.input < begin || entry.input >= end) continue;
      const double d = out.dual_out[entry.output].slope[at(entry.input - begin)];
      if (double* row = row_start(entry, out)) row[entry.column] += entry.sign * d;
    }
    for (int i = begin; i < end; ++i) {
      if (inputs[at(i)].kind != Input::Kind::inlet) continue;
      const double* inlet_slope = out.inlet_slope.data() + at(i * out.columns);
      for (std::size_t o = 0; o < outputs.size(); ++o) {
        const double d = out.dual_out[o].slope[at(i - begin)];
        if (d != 0.0) add_inlet_slope(plans_[index].rows[o], d, inlet_slope, out);
      }
    }
  }
  if (slopes != Slopes::by_quantity) return;
  const std::vector<int>& quantities = e.quantities();
  const int local = static_cast<int>(quantities.size());
  std::vector<Gradient> q(quantities.size());
  for (int begin = 0; begin < local; begin += width) {
    const int end = std::min(begin + width, local);
    for (int i = 0; i < local; ++i) {
      const double value = values_[at(quantities[at(i)])];
      q[at(i)] = i >= begin && i < end ? Gradient::variable(value, i - begin) : Gradient(value);
    }
    e.evaluate(q.data(), out.in.data(), out.dual_out.data());
    for (std::size_t o = 0; o < outputs.size(); ++o) {
      for (int i = begin; i < end; ++i) {
        const double d = out.dual_out[o].slope[at(i - begin)];
        if (d != 0.0) add_column(plans_[index].rows[o], unknowns() + quantities[at(i)], d, out);
      }
    }
  }
}

// Coolant carries heat into the state where its branch begins.
void Circuit::add_inflow(std::span<const double> x, Evaluation& out) const {
  const int columns = out.columns;
  out.inlet_slope.resize(std::max(out.inlet_slope.size(), at(columns)));
  for (int b = 0; b < static_cast<int>(branches_.size()); ++b) {
    const Branch& branch = branches_[at(b)];
    const Stream& stream = streams_[at(branch.stream)];
    if (!stream.stores_heat) continue;
    const double m = flow(x, b);
    const double carried = carrying_flow(m);
    const int heat_column = aux_row(stream.specific_heat);
    const double specific_heat = x[at(heat_column)];
    const int state = m >= 0.0 ? branch.first : branch.last;
    double* slope = out.inlet_slope.data();
    const double inlet = mixed(m >= 0.0 ? branch.from : branch.to, x, out, slope);
    const int row = state_row(state);
    out.residual[at(row)] += specific_heat * carried * inlet;
    if (columns == 0) continue;
    double* target = &out.slope[at(row) * at(columns)];
    add_scaled(target, specific_heat * carried, slope, columns);
    target[heat_column] += carried * inlet;
    for (const auto& [loop, sign] : loops_of_[at(b)]) {
      target[loop] += specific_heat * (m / carried) * sign * inlet;
    }
  }
}

void Circuit::evaluate(std::span<const double> x, Slopes slopes, Evaluation& out) const {
  const int n = unknowns();
  out.columns = slopes == Slopes::none ? 0 : slopes == Slopes::by_quantity ? n + quantities_ : n;
  const std::size_t columns = at(out.columns);
  out.residual.assign(at(n), 0.0);
  out.drops.assign(at(loops_), 0.0);
  out.slope.assign(at(n) * columns, 0.0);
  out.answer.assign(at(answers_), 0.0);
  out.answer_slope.assign(slopes == Slopes::by_quantity ? at(answers_) * columns : 0, 0.0);
  out.capacity.assign(states_.size(), 0.0);
  out.outlet.assign(branches_.size(), 0.0);
  out.outlet_slope.assign(branches_.size() * columns, 0.0);
  for (std::size_t e = 0; e < elements_.size(); ++e) {
    gather(*elements_[e], x, out);
    evaluate_element(e, slopes, out);
  }
  add_inflow(x, out);
  for (int a = 0; a < static_cast<int>(aux_.size()); ++a) {
    const int row = aux_row(a);
    out.residual[at(row)] -= x[at(row)];
    if (columns > 0) out.slope[at(row) * columns + at(row)] -= 1.0;
  }
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
