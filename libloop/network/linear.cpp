#include "libloop/network/linear.hpp"

#include <Eigen/Dense>
#include <Eigen/SparseLU>
#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "libloop/network/ordered_lu.hpp"

namespace libloop::network {
namespace {

using Vector = Eigen::VectorXd;

struct Signed {
  int index = 0;
  double sign = 1.0;
};

// By branch: the loops through it.
std::vector<std::vector<Signed>> loops_through(const Circuit& circuit) {
  std::vector<std::vector<Signed>> all(circuit.branches().size());
  for (int l = 0; l < circuit.loops(); ++l) {
    for (const Step& step : loop_of(circuit.forest(), circuit.edges(), l)) {
      all[at(step.edge)].push_back({l, step.sign});
    }
  }
  return all;
}

// Where every slope goes in the matrix of loops, by columns of length `size`.
std::vector<Scatter> scatter(const Circuit& circuit, const Plan& plan, bool flows_only) {
  const std::vector<std::vector<Signed>> through = loops_through(circuit);
  const int branches = static_cast<int>(circuit.branches().size());
  const int size = flows_only ? circuit.loops() : circuit.unknowns();
  const int last = flows_only ? branches : plan.rows;
  const auto unknowns = [&](int index) {
    return index < branches ? through[at(index)]
                            : std::vector<Signed>{{index - branches + circuit.loops(), 1.0}};
  };
  std::vector<Scatter> all;
  for (std::size_t p = 0; p < plan.places.size(); ++p) {
    const Place& place = plan.places[p];
    if (place.row >= last || place.column >= last) continue;
    for (const Signed& row : unknowns(place.row)) {
      for (const Signed& column : unknowns(place.column)) {
        all.push_back(
            {static_cast<int>(p), column.index * size + row.index, row.sign * column.sign, 0});
      }
    }
  }
  return all;
}

// Finds the order, and where every entry goes in it.
std::vector<int> put_in_order(int size, std::vector<Scatter>& entries) {
  if (size == 0) return {};
  std::vector<int> position = emptiest_order(size, entries);
  for (Scatter& s : entries) {
    s.ordered = position[at(s.target / size)] * size + position[at(s.target % size)];
  }
  return position;
}

}  // namespace

void add_scatter(const Circuit& circuit, Plan& plan) {
  plan.dense = circuit.unknowns() <= dense_limit;
  if (!plan.dense) return;
  plan.scatter_all = scatter(circuit, plan, false);
  plan.scatter_flows = scatter(circuit, plan, true);
  plan.order_all = put_in_order(circuit.unknowns(), plan.scatter_all);
  plan.order_flows = put_in_order(circuit.loops(), plan.scatter_flows);
}

struct Linear::Dense {
  int size = 0;
  const std::vector<Scatter>* entries = nullptr;
  const std::vector<int>* order = nullptr;
  std::vector<Scatter> own;
  std::vector<int> own_order;
  OrderedLu lu;
  mutable std::vector<double> ordered;

  Dense(const Circuit& circuit, Part part) {
    const Plan& plan = circuit.plan();
    const bool flows = part == Part::flows;
    size = flows ? circuit.loops() : circuit.unknowns();
    ordered.resize(at(size));
    if (plan.dense) {
      entries = flows ? &plan.scatter_flows : &plan.scatter_all;
      order = flows ? &plan.order_flows : &plan.order_all;
    } else {
      own = scatter(circuit, plan, flows);
      own_order = put_in_order(size, own);
    }
  }

  const std::vector<int>& positions() const { return order != nullptr ? *order : own_order; }

  bool factor(std::span<const double> slope) {
    lu.matrix().setZero(size, size);
    double* m = lu.matrix().data();
    for (const Scatter& s : entries != nullptr ? *entries : own) {
      m[s.ordered] += s.sign * slope[at(s.place)];
    }
    return size == 0 || lu.factor();
  }

  void solve(const double* right, double* step) const {
    const std::vector<int>& position = positions();
    for (int i = 0; i < size; ++i) ordered[at(position[at(i)])] = right[i];
    lu.solve(ordered.data());
    for (int i = 0; i < size; ++i) step[i] = ordered[at(position[at(i)])];
  }
  Vector solve(const Vector& right) const {
    Vector step(size);
    solve(right.data(), step.data());
    return step;
  }
  Vector solve_transposed(const Vector& right) const {
    const std::vector<int>& position = positions();
    Vector step(size);
    for (int i = 0; i < size; ++i) ordered[at(position[at(i)])] = right[i];
    lu.solve_transposed(ordered.data());
    for (int i = 0; i < size; ++i) step[i] = ordered[at(position[at(i)])];
    return step;
  }
};

// Unknowns: flows of branches, pressures of nodes, then the rest (not for flows alone).
// Rows: drops of branches, balances of nodes, then the rest.
//
// A long row, the balance of a node where many branches meet, would fill the factors. It is
// cut into pieces that hand on their partial sums y as further unknowns:
//   first - y1 = 0,  y1 + second - y2 = 0,  ...,  yn + last = right.
struct Linear::Sparse {
  using Matrix = Eigen::SparseMatrix<double>;
  static constexpr int longest_row = 24, piece = 12;

  int branches = 0, nodes = 0, rows = 0, size = 0;
  Matrix matrix;
  std::vector<std::pair<int, int>> entries;  // place, number among the matrix's values
  std::vector<double> fixed;                 // values that never change
  Vector scale;                              // of rows
  Eigen::SparseLU<Matrix> lu;

  Sparse(const Circuit& circuit, Part part)
      : branches(static_cast<int>(circuit.branches().size())),
        nodes(static_cast<int>(circuit.nodes().size())) {
    const Plan& plan = circuit.plan();
    rows = part == Part::flows ? branches : plan.rows;
    std::map<std::pair<int, int>, double> pattern;  // row, column
    for (const Place& p : plan.places) {
      if (p.row < rows && p.column < rows) pattern[{wide(p.row), wide(p.column)}];
    }
    add_graph(circuit, pattern);
    const std::map<std::pair<int, int>, int> cut = build(pattern);
    for (std::size_t p = 0; p < plan.places.size(); ++p) {
      const Place& place = plan.places[p];
      if (place.row >= rows || place.column >= rows) continue;
      const int row = wide(place.row), column = wide(place.column);
      const auto moved = cut.find({row, column});
      entries.emplace_back(static_cast<int>(p),
                           value_of(moved == cut.end() ? row : moved->second, column));
    }
    lu.analyzePattern(matrix);
  }

  // Builds the matrix; returns the entries that went to another row, and to which.
  std::map<std::pair<int, int>, int> build(const std::map<std::pair<int, int>, double>& pattern) {
    std::map<std::pair<int, int>, int> cut;
    std::vector<Eigen::Triplet<double>> triplets;
    std::vector<int> count(at(rows + nodes), 0), seen(at(rows + nodes), 0);
    for (const auto& [where, value] : pattern) ++count[at(where.first)];
    size = rows + nodes;
    int last = -1;  // the piece being filled
    for (const auto& [where, value] : pattern) {
      const auto [row, column] = where;
      const int so_far = seen[at(row)]++;
      int target = row;
      if (count[at(row)] > longest_row && so_far < count[at(row)] - piece) {
        if (so_far % piece == 0) {
          // A new piece: takes over the sum of the last one.
          if (so_far > 0) triplets.emplace_back(size, last, 1.0);
          last = size++;
          triplets.emplace_back(last, last, -1.0);
        }
        target = last;
        cut[where] = target;
      } else if (count[at(row)] > longest_row && so_far == count[at(row)] - piece) {
        triplets.emplace_back(row, last, 1.0);
      }
      triplets.emplace_back(target, column, value);
    }
    matrix.resize(size, size);
    matrix.setFromTriplets(triplets.begin(), triplets.end());
    matrix.makeCompressed();
    fixed.assign(matrix.valuePtr(), matrix.valuePtr() + matrix.nonZeros());
    return cut;
  }

  // Pressures stand behind the branches.
  int wide(int index) const { return index < branches ? index : index + nodes; }

  // Drops equal differences of pressure; flows balance at every node but the first of a
  // piece, whose pressure is the zero of the others.
  void add_graph(const Circuit& circuit, std::map<std::pair<int, int>, double>& pattern) const {
    const Forest& forest = circuit.forest();
    for (int b = 0; b < branches; ++b) {
      const Edge& edge = circuit.edges()[at(b)];
      if (edge.from == edge.to) continue;
      for (const auto& [node, sign] : {std::pair{edge.from, -1.0}, {edge.to, 1.0}}) {
        pattern[{b, branches + node}] += sign;
        if (forest.above[at(node)] >= 0) pattern[{branches + node, b}] += sign;
      }
    }
    for (int n = 0; n < nodes; ++n) {
      if (forest.above[at(n)] < 0) pattern[{branches + n, branches + n}] += 1.0;
    }
  }

  int value_of(int row, int column) const {
    const int* first = matrix.innerIndexPtr() + matrix.outerIndexPtr()[column];
    const int* last = matrix.innerIndexPtr() + matrix.outerIndexPtr()[column + 1];
    return static_cast<int>(std::lower_bound(first, last, row) - matrix.innerIndexPtr());
  }

  bool factor(std::span<const double> slope) {
    std::copy(fixed.begin(), fixed.end(), matrix.valuePtr());
    for (const auto& [place, value] : entries) matrix.valuePtr()[value] += slope[at(place)];
    equilibrate();
    lu.factorize(matrix);
    return lu.info() == Eigen::Success;
  }

  // Every row by its largest entry: pascals, watts and kelvins become comparable.
  void equilibrate() {
    scale.setZero(size);
    const int count = static_cast<int>(matrix.nonZeros());
    const int* row = matrix.innerIndexPtr();
    double* value = matrix.valuePtr();
    for (int i = 0; i < count; ++i) scale[row[i]] = std::max(scale[row[i]], std::abs(value[i]));
    for (int i = 0; i < size; ++i) scale[i] = scale[i] > 0.0 ? 1.0 / scale[i] : 1.0;
    for (int i = 0; i < count; ++i) value[i] *= scale[row[i]];
  }

  // From rows or columns of places to those of the matrix, and back.
  Vector spaced(std::span<const double> values) const {
    Vector all = Vector::Zero(size);
    for (std::size_t i = 0; i < values.size(); ++i) all[wide(static_cast<int>(i))] = values[i];
    return all;
  }
  std::vector<double> closed(const Vector& all) const {
    std::vector<double> values(at(rows));
    for (std::size_t i = 0; i < values.size(); ++i) values[i] = all[wide(static_cast<int>(i))];
    return values;
  }
};

Linear::Linear(const Circuit& circuit, Part part)
    : Linear(circuit, part, circuit.plan().dense ? Form::dense : Form::sparse) {}

Linear::Linear(const Circuit& circuit, Part part, Form form) : circuit_(&circuit) {
  if (form == Form::dense) {
    dense_ = std::make_unique<Dense>(circuit, part);
  } else {
    sparse_ = std::make_unique<Sparse>(circuit, part);
  }
}

Linear::~Linear() = default;
Linear::Linear(Linear&&) noexcept = default;
Linear& Linear::operator=(Linear&&) noexcept = default;

bool Linear::factor(std::span<const double> slope) {
  return dense_ ? dense_->factor(slope) : sparse_->factor(slope);
}

std::vector<double> Linear::solve(std::span<const double> right) const {
  std::vector<double> step;
  solve(right, step);
  return step;
}

void Linear::solve(std::span<const double> right, std::vector<double>& step) const {
  step.clear();
  if (dense_) {
    step.resize(right.size());
    dense_->solve(right.data(), step.data());
    return;
  }
  // The imbalance of a loop stands in its chord's row: pressures that are those along the
  // trees leave none to other branches.
  const std::size_t loops = at(circuit_->loops()), branches = circuit_->branches().size();
  std::vector<double> by_row(at(sparse_->rows), 0.0);
  for (std::size_t l = 0; l < loops; ++l) {
    by_row[at(circuit_->chord(static_cast<int>(l)))] = right[l];
  }
  std::copy(right.begin() + static_cast<std::ptrdiff_t>(loops), right.end(),
            by_row.begin() + static_cast<std::ptrdiff_t>(branches));
  const std::vector<double> by_column = solve_wide(by_row);
  for (std::size_t l = 0; l < loops; ++l) {
    step.push_back(by_column[at(circuit_->chord(static_cast<int>(l)))]);
  }
  step.insert(step.end(), by_column.begin() + static_cast<std::ptrdiff_t>(branches),
              by_column.end());
}

namespace {

// Sums around the loops of what stands by branch; the rest as it is.
Vector around_loops(const Circuit& circuit, std::span<const double> wide) {
  const std::size_t branches = circuit.branches().size();
  std::vector<Sum> climbed;
  climb(circuit.forest(), wide.first(branches), climbed);
  const int loops = circuit.loops();
  Vector all(loops + static_cast<int>(wide.size() - branches));
  for (int l = 0; l < loops; ++l) {
    const Edge& edge = circuit.edges()[at(circuit.chord(l))];
    all[l] = wide[at(circuit.chord(l))] + difference(climbed[at(edge.to)], climbed[at(edge.from)]);
  }
  for (std::size_t i = branches; i < wide.size(); ++i) {
    all[loops + static_cast<int>(i - branches)] = wide[i];
  }
  return all;
}

// Loops spread over the branches; the rest as it is.
std::vector<double> along_branches(const Circuit& circuit, const Vector& narrow) {
  std::vector<Sum> scratch;
  std::vector<double> all;
  const std::size_t loops = at(circuit.loops());
  spread(circuit.forest(), circuit.edges(), {narrow.data(), loops}, scratch, all);
  all.insert(all.end(), narrow.data() + loops, narrow.data() + narrow.size());
  return all;
}

}  // namespace

std::vector<double> Linear::solve_wide(std::span<const double> right) const {
  if (dense_) return along_branches(*circuit_, dense_->solve(around_loops(*circuit_, right)));
  const Vector scaled = sparse_->spaced(right).cwiseProduct(sparse_->scale);
  return sparse_->closed(sparse_->lu.solve(scaled));
}

std::vector<double> Linear::solve_transposed(std::span<const double> gradient) const {
  if (dense_) {
    const Vector narrow = around_loops(*circuit_, gradient);
    return along_branches(*circuit_, dense_->solve_transposed(narrow));
  }
  const Vector weight = sparse_->lu.transpose().solve(sparse_->spaced(gradient));
  return sparse_->closed(weight.cwiseProduct(sparse_->scale));
}

}  // namespace libloop::network
