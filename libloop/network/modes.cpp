#include "libloop/network/modes.hpp"

#include <Eigen/Dense>
#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <unsupported/Eigen/MatrixFunctions>
#include <utility>

#include "libloop/network/held.hpp"
#include "libloop/network/owners.hpp"
#include "libloop/network/residuals.hpp"

namespace libloop::network {
namespace {

using Matrix = Eigen::MatrixXd;
using Vector = Eigen::VectorXd;
using VectorView = Eigen::Map<const Vector>;

// Below this, vectors lean on each other so much that a sum of modes loses what it is told to
// half of double precision (judgement).
constexpr double least_distinctness = 1e-8;
// Condition of a simple eigenvalue, |left| |right|: beyond, its shares are noise.
constexpr double most_condition = 1e7;

std::span<const double> span_of(const Vector& v) {
  return {v.data(), static_cast<std::size_t>(v.size())};
}

Vector vector_of(std::span<const double> values) {
  return VectorView(values.data(), static_cast<Eigen::Index>(values.size()));
}

}  // namespace

// By stored heat: with y = C^(1/2) T the equations are dy/dt = B y, B = C^(-1/2) H C^(-1/2),
// whose entries are of one size in all directions that heat is exchanged in; where heat is
// conducted alone B is symmetric. A pair stands as two real columns, Re y and Im y.
struct Modes::Found {
  Summary summary;
  std::vector<Mode> all;
  std::vector<double> answer_slopes;

  Vector root;                  // C^(1/2)
  Matrix matrix;                // B
  std::vector<Complex> lambda;  // by mode
  std::vector<Eigen::Index> first;
  Matrix columns;
  Eigen::PartialPivLU<Matrix> lu;  // of columns
  Matrix inverse;
  double distinctness = 1.0;

  bool pair(std::size_t mode) const { return lambda[mode].imag() != 0.0; }
  void end(std::string reason, std::string why);
  bool build_matrix(const Held& held, const Evaluation& work);
  bool find_modes();
  bool stands_apart(std::size_t mode) const;
  void refine();
  void sort_modes(const Eigen::VectorXcd& values, const Eigen::MatrixXcd& vectors);
  ModeVectors vectors(const Held& held, std::size_t mode) const;

  // Of the modes, by column, at time t.
  Vector coordinates(std::span<const double> deviation, double t) const;
  // Deviations of the states at time t.
  Vector states(std::span<const double> deviation, double t) const;
};

void Modes::Found::end(std::string reason, std::string why) {
  summary.usable = reason == "converged";
  summary.reason = std::move(reason);
  summary.why = std::move(why);
}

// Column by column: one state moves, the rest follows.
bool Modes::Found::build_matrix(const Held& held, const Evaluation& work) {
  const auto states = static_cast<Eigen::Index>(work.capacity.size());
  const std::size_t answers = work.answer.size(), count = work.capacity.size();
  root = vector_of(work.capacity).cwiseSqrt();
  matrix.resize(states, states);
  answer_slopes.assign(answers * count, 0.0);
  Vector moved = Vector::Zero(states);
  for (Eigen::Index s = 0; s < states; ++s) {
    moved[s] = 1.0;
    const std::vector<double> following = held.follow(span_of(moved));
    moved[s] = 0.0;
    matrix.col(s) = vector_of(held.heat(following)).cwiseQuotient(root) / root[s];
    const std::vector<double> told = held.answers(following);
    for (std::size_t a = 0; a < answers; ++a) {
      answer_slopes[a * count + static_cast<std::size_t>(s)] = told[a];
    }
  }
  return matrix.allFinite() && finite(answer_slopes);
}

bool Modes::Found::find_modes() {
  if (matrix.rows() == 0) return true;
  const Eigen::EigenSolver<Matrix> solver(matrix);
  if (solver.info() != Eigen::Success) return false;
  sort_modes(solver.eigenvalues(), solver.eigenvectors());
  lu.compute(columns);
  const double rcond = lu.rcond();
  distinctness = std::isfinite(rcond) ? rcond : 0.0;
  inverse = lu.inverse();
  refine();
  for (std::size_t k = 0; k < lambda.size(); ++k) {
    all[k].time_constant = -1.0 / lambda[k].real();
    if (pair(k)) all[k].period = 2.0 * std::acos(-1.0) / lambda[k].imag();
  }
  return true;
}

bool Modes::Found::stands_apart(std::size_t mode) const {
  const Eigen::Index c = first[mode], width = pair(mode) ? 2 : 1;
  const double condition =
      inverse.middleRows(c, width).norm() * columns.middleCols(c, width).norm();
  return condition <= most_condition && lambda[mode].real() != 0.0;
}

// Slow modes stand beside dies a hundred thousand times as fast, and are known to rounding of
// these. left' B right errs by the product of both vectors' errors only.
void Modes::Found::refine() {
  const Matrix moved = matrix * columns;
  for (std::size_t k = 0; k < lambda.size(); ++k) {
    if (!stands_apart(k)) continue;
    const Eigen::Index c = first[k];
    const auto entry = [&](Eigen::Index row, Eigen::Index column) {
      return inverse.row(row).dot(moved.col(column));
    };
    if (pair(k)) {
      lambda[k] = {0.5 * (entry(c, c) + entry(c + 1, c + 1)),
                   0.5 * (entry(c, c + 1) - entry(c + 1, c))};
    } else {
      lambda[k] = entry(c, c);
    }
  }
}

void Modes::Found::sort_modes(const Eigen::VectorXcd& values, const Eigen::MatrixXcd& vectors) {
  std::vector<Eigen::Index> order;
  for (Eigen::Index i = 0; i < values.size(); ++i) {
    if (values[i].imag() >= 0.0) order.push_back(i);  // the other of a pair follows
  }
  std::stable_sort(order.begin(), order.end(), [&](Eigen::Index a, Eigen::Index b) {
    return values[a].real() > values[b].real();
  });
  columns.resize(values.size(), values.size());
  Eigen::Index next = 0;
  for (const Eigen::Index i : order) {
    lambda.push_back(values[i]);
    first.push_back(next);
    columns.col(next++) = vectors.col(i).real();
    if (values[i].imag() != 0.0) columns.col(next++) = vectors.col(i).imag();
  }
  all.resize(lambda.size());
}

// The left vectors are the rows of the inverse: of a pair a -+ i b the rows r, s belong to the
// columns Re, Im, and (r - i s)/2 is the left vector.
ModeVectors Modes::Found::vectors(const Held& held, std::size_t mode) const {
  const Eigen::Index c = first[mode];
  const bool complex = pair(mode);
  const auto right = [&](Eigen::Index k) {
    return held.follow(span_of(columns.col(k).cwiseQuotient(root)));
  };
  const auto left = [&](Eigen::Index k, double factor) {
    const Vector row = factor * inverse.row(k).transpose();
    return held.weigh(span_of(row.cwiseQuotient(root)));
  };
  const auto together = [](const std::vector<double>& re, const std::vector<double>& im) {
    std::vector<Complex> both(re.begin(), re.end());
    for (std::size_t i = 0; i < im.size(); ++i) both[i] += Complex(0.0, im[i]);
    return both;
  };
  ModeVectors found;
  found.lambda = lambda[mode];
  found.right = together(right(c), complex ? right(c + 1) : std::vector<double>());
  found.left =
      together(left(c, complex ? 0.5 : 1.0), complex ? left(c + 1, -0.5) : std::vector<double>());
  return found;
}

Vector Modes::Found::coordinates(std::span<const double> deviation, double t) const {
  Vector c = lu.solve(root.cwiseProduct(vector_of(deviation)));
  for (std::size_t k = 0; k < lambda.size(); ++k) {
    const Eigen::Index i = first[k];
    const double decay = std::exp(lambda[k].real() * t);
    if (!pair(k)) {
      c[i] *= decay;
      continue;
    }
    // c_re Re y + c_im Im y = Re((c_re - i c_im) y), turned on by the angle.
    const double angle = lambda[k].imag() * t, re = c[i], im = c[i + 1];
    c[i] = decay * (re * std::cos(angle) + im * std::sin(angle));
    c[i + 1] = decay * (im * std::cos(angle) - re * std::sin(angle));
  }
  return c;
}

Vector Modes::Found::states(std::span<const double> deviation, double t) const {
  if (matrix.rows() == 0) return Vector();
  if (distinctness >= least_distinctness) {
    return (columns * coordinates(deviation, t)).cwiseQuotient(root);
  }
  const Matrix moved = (matrix * t).exp();
  return (moved * root.cwiseProduct(vector_of(deviation))).cwiseQuotient(root);
}

Modes::Modes(const Circuit& circuit, std::span<const double> x, std::span<const double> extra,
             std::span<const std::string> extra_names, int owned) {
  const auto found = std::make_shared<Found>();
  found_ = found;
  Evaluation work;
  const Held held(circuit, heat_slopes(circuit, x, Slopes::of_answers, extra, work));
  const bool stores =
      std::all_of(work.capacity.begin(), work.capacity.end(), [](double c) { return c > 0.0; });
  if (!finite(work.residual) || !finite(work.slope) || !finite(work.capacity)) {
    found->end("not_finite", "the balances at this point are not finite");
  } else if (!stores) {
    found->end("singular", "a state stores no heat");
  } else if (!held.follows() || !found->build_matrix(held, work)) {
    found->end("singular", "flows and auxiliaries do not follow the temperatures");
  } else if (!found->find_modes()) {
    found->end("no_convergence", "the modes were not found");
  } else {
    found->end("converged", "modes");
    const std::size_t count = std::min(found->all.size(), at(std::max(owned, 0)));
    if (count == 0) return;
    Owners owners(circuit, x, work, extra, extra_names);
    for (std::size_t k = 0; k < count; ++k) {
      if (found->stands_apart(k)) owners.find(found->vectors(held, k), found->all[k]);
    }
  }
}

const Summary& Modes::summary() const { return found_->summary; }
const std::vector<Mode>& Modes::all() const { return found_->all; }
const std::vector<double>& Modes::answer_slopes() const { return found_->answer_slopes; }
double Modes::distinctness() const { return found_->distinctness; }

std::vector<double> Modes::amplitudes(std::span<const double> gradient,
                                      std::span<const double> deviation) const {
  std::vector<double> all;
  if (count() == 0) return all;
  const Vector c = found_->coordinates(deviation, 0.0);
  const Vector told = found_->columns.transpose() * vector_of(gradient).cwiseQuotient(found_->root);
  for (std::size_t k = 0; k < found_->lambda.size(); ++k) {
    const Eigen::Index i = found_->first[k];
    // Of a pair Re((c_re - i c_im)(told_re + i told_im)): its size.
    all.push_back(found_->pair(k) ? std::hypot(c[i], c[i + 1]) * std::hypot(told[i], told[i + 1])
                                  : c[i] * told[i]);
  }
  return all;
}

double Modes::reading(std::span<const double> gradient, std::span<const double> deviation,
                      double t) const {
  if (count() == 0) return 0.0;
  return vector_of(gradient).dot(found_->states(deviation, t));
}

std::vector<double> Modes::states(std::span<const double> deviation, double t) const {
  const Vector all = found_->states(deviation, t);
  return {all.data(), all.data() + all.size()};
}

}  // namespace libloop::network
