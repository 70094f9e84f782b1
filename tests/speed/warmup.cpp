// The warm-up against other integrators on the same equations: SUNDIALS' CVODE (variable-order
// BDF) and Boost.Odeint's rosenbrock4.
//
//   libloop_warmup_speed [repetitions]
//
// First a check, which decides the exit code: every trajectory over 20 minutes at 1 Hz against
// CVODE at a hundredth of a millionth, to 10 times its own tolerance. Then times, which decide
// nothing: medians of rounds in which everybody takes his turn.
//
// Neither of the others takes algebraic equations in this form, so both get the states alone
// (`Reduced`): flows, auxiliaries and nodes are found at every call.
#include "libloop/warmup/warmup.hpp"

#include <cvode/cvode.h>
#include <fmt/format.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <functional>
#include <stdexcept>
#include <string>
#include <vector>

#include "libloop/files/read.hpp"
#include "libloop/model/build.hpp"
#include "libloop/network/plan.hpp"
#include "speed/warmup_odeint.hpp"

using namespace libloop;
using network::at;

namespace {

constexpr double duration = 1200.0, reference_tolerance = 1e-8;  // s
constexpr int samples = 1201;                                    // 1 Hz

// ---- the equations, states alone

// dT/dt of all states and of the chip's reading. Unknowns are temperatures over ambient, the
// reading last.
class Reduced {
 public:
  Reduced(const Model& model, const Duty& duty, double tolerance)
      : solver_(model), ambient_(duty.ambient), tolerance_(tolerance) {
    const OperatingPoint settled = solver_.solve(duty);
    if (!settled.summary.usable) throw std::runtime_error(settled.summary.why);
    lag_ = model.typical(duty)[model.index("sensor.lag")];
    settled_ = solver_.unknowns();
    find_own_heat();
    find_columns();
    // Behind the answers of the whole stand those of the chip: Builder::reserve_answers.
    rise_ = static_cast<int>(Raw::count);
    coolant_ = rise_ + 3 + static_cast<int>(budget_rows.size() + settled.hottest.size()) + 1;
    full_ = Eigen::MatrixXd::Zero(circuit().unknowns(), circuit().unknowns());
    restart();
    check_answers(settled);
  }

  int size() const { return states() + 1; }
  long calls = 0, evaluations = 0, slopes = 0;

  // All at ambient, and what follows that at once.
  void restart() {
    const network::Circuit& c = circuit();
    x_ = settled_;
    for (int s = 0; s < states(); ++s) x_[at(c.state_row(s))] = ambient_;
    network::SolveOptions options;
    options.load = 100.0;
    const network::Summary found = network::follow(c, options, x_, work_);
    if (!found.usable) throw std::runtime_error(found.why);
    last_ = Eigen::VectorXd::Zero(states());
    hold(network::Slopes::by_unknown);
  }
  double first_reading() const { return work_.answer[at(rise_)]; }

  void rates(const double* y, double* rate) {
    ++calls;
    follow(y);
    for (int s = 0; s < states(); ++s) {
      const double heat = work_.residual[at(circuit().state_row(s))] + own_heat(s);
      rate[s] = heat / work_.capacity[at(s)];
    }
    rate[states()] = (work_.answer[at(rise_)] - y[states()]) / lag_;
  }

  // Exact slopes of the rates.
  void jacobian(const double* y, Eigen::MatrixXd& slope) {
    follow(y);
    hold(network::Slopes::in_time);
    const int n = states(), first = circuit().loops();
    slope.setZero(n + 1, n + 1);
    slope.topLeftCorner(n, n) = full_.block(first, first, n, n);
    for (std::size_t i = 0; i < others_.size(); ++i) {
      const auto row = static_cast<Eigen::Index>(i);
      slope.topLeftCorner(n, n).noalias() +=
          full_.block(first, others_[i], n, 1) * follows_.row(row);
    }
    for (int s = 0; s < n; ++s) {
      slope(s, s) += growth_[at(s)];
      slope.row(s) /= work_.capacity[at(s)];
    }
    slope.row(n).head(n) = reading_slope() / lag_;
    slope(n, n) = -1.0 / lag_;
  }

  // A sum over temperatures of states: the cells of the core.
  double coolant_rise(const double* y) const {
    double rise = 0.0;
    for (const auto& [state, share] : coolant_shares_) rise += share * y[state];
    return rise;
  }

 private:
  const network::Circuit& circuit() const { return solver_.circuit(); }
  int states() const { return circuit().states(); }
  bool is_state(int unknown) const {
    return unknown >= circuit().state_row(0) && unknown < circuit().aux_row(0);
  }

  void evaluate(network::Slopes kind) {
    ++evaluations;
    circuit().evaluate(x_, kind, work_);
  }

  // Leakage: what the solver's slopes have more than the network's.
  void find_own_heat() {
    const std::vector<double> with = solver_.linearise();
    const std::vector<double> without = network::linearise(circuit(), settled_, {});
    circuit().evaluate(settled_, network::Slopes::none, work_);
    for (int s = 0; s < states(); ++s) {
      const std::size_t own = at(s * states() + s);
      growth_.push_back((with[own] - without[own]) * work_.capacity[at(s)]);
    }
  }
  double own_heat(int s) const {
    const std::size_t row = at(circuit().state_row(s));
    return growth_[at(s)] * (x_[row] - settled_[row]);
  }

  void find_columns() {
    const network::Circuit& c = circuit();
    for (int i = 0; i < c.unknowns(); ++i) {
      if (!is_state(i)) others_.push_back(i);
    }
    through_.resize(c.branches().size());
    for (int l = 0; l < c.loops(); ++l) {
      for (const network::Step& step : network::loop_of(c.forest(), c.edges(), l)) {
        through_[at(step.edge)].emplace_back(l, step.sign);
      }
    }
  }

  // Slopes of one answer by all unknowns.
  Eigen::VectorXd answer_slopes(int answer) const {
    const network::Circuit& c = circuit();
    const int branches = static_cast<int>(c.branches().size());
    const int row = c.plan().rows + branches + answer;
    Eigen::VectorXd all = Eigen::VectorXd::Zero(c.unknowns());
    for (std::size_t p = 0; p < c.plan().places.size(); ++p) {
      const network::Place& place = c.plan().places[p];
      if (place.row != row) continue;
      if (place.column >= branches) all[place.column - branches + c.loops()] += work_.slope[p];
      if (place.column >= branches) continue;
      for (const auto& [l, sign] : through_[at(place.column)]) all[l] += sign * work_.slope[p];
    }
    return all;
  }

  // By states, all else following.
  Eigen::RowVectorXd reading_slope() const {
    const Eigen::VectorXd all = answer_slopes(rise_);
    Eigen::RowVectorXd slope = all.segment(circuit().loops(), states()).transpose();
    for (std::size_t i = 0; i < others_.size(); ++i) {
      slope += all[others_[i]] * follows_.row(static_cast<Eigen::Index>(i));
    }
    return slope;
  }

  // Slopes at x_: how what follows moves with the states, and the factors to correct it.
  void hold(network::Slopes kind) {
    ++slopes;
    evaluate(kind);
    const network::Plan& plan = circuit().plan();
    if (kind == network::Slopes::in_time) {
      for (const network::Stored& s : plan.stored) {
        const double heat = work_.residual[at(circuit().state_row(s.state))] + own_heat(s.state);
        work_.slope[at(s.to)] -= heat / work_.capacity[at(s.state)] * work_.slope[at(s.from)];
      }
    }
    full_.setZero();
    for (const network::Scatter& s : plan.scatter_all) {
      full_.data()[s.target] += s.sign * work_.slope[at(s.place)];
    }
    const auto count = static_cast<Eigen::Index>(others_.size());
    Eigen::MatrixXd among(count, count), by_state(count, states());
    for (Eigen::Index i = 0; i < count; ++i) {
      const int row = others_[static_cast<std::size_t>(i)];
      for (Eigen::Index j = 0; j < count; ++j) {
        among(i, j) = full_(row, others_[static_cast<std::size_t>(j)]);
      }
      by_state.row(i) = full_.row(row).segment(circuit().loops(), states());
    }
    held_.compute(among);
    follows_ = -held_.solve(by_state);
    move_.resize(count);
  }

  // Brings x_ to the states y: by the slopes held, then by Newton's steps with them. One
  // evaluation serves where the first guess was good enough.
  void follow(const double* y) {
    const Eigen::Map<const Eigen::VectorXd> now(y, states());
    move_.noalias() = follows_ * (now - last_);
    last_ = now;
    for (int s = 0; s < states(); ++s) x_[at(circuit().state_row(s))] = ambient_ + y[s];
    apply();
    double before = 1e300;
    for (int turn = 0; turn < 20; ++turn) {
      evaluate(network::Slopes::none);
      for (std::size_t i = 0; i < others_.size(); ++i) {
        move_[static_cast<Eigen::Index>(i)] = -work_.residual[at(others_[i])];
      }
      move_ = held_.solve(move_);
      const double size = moved();
      if (size <= 0.03 * tolerance_) return;
      apply();
      if (turn > 0 && size > 0.2 * before) hold(network::Slopes::by_unknown);
      before = size;
    }
    throw std::runtime_error("what follows the states was not found");
  }
  void apply() {
    for (std::size_t i = 0; i < others_.size(); ++i) {
      x_[at(others_[i])] += move_[static_cast<Eigen::Index>(i)];
    }
  }
  // The largest move over what the value is: of temperatures, over their distance from ambient.
  double moved() const {
    const network::Circuit& c = circuit();
    double worst = 0.0;
    for (std::size_t i = 0; i < others_.size(); ++i) {
      const int u = others_[i];
      const bool node = u >= c.aux_row(c.auxiliaries());
      const double floor = u < c.loops() ? 1e-3 : 1.0;  // kg/s; K
      const double value = std::abs(x_[at(u)] - (node ? ambient_ : 0.0));
      const double share = std::abs(move_[static_cast<Eigen::Index>(i)]) / (floor + value);
      if (!(share <= worst)) worst = share;
    }
    return worst;
  }

  // The places of answers are known from Builder::reserve_answers; the settled point tells
  // whether they still hold. And the coolant rise must be what `coolant_rise` takes it for.
  void check_answers(const OperatingPoint& settled) {
    const std::vector<double> start = x_;
    x_ = settled_;
    evaluate(network::Slopes::of_answers);
    const Eigen::VectorXd slope = answer_slopes(coolant_);
    for (int s = 0; s < states(); ++s) {
      const double share = slope[circuit().state_row(s)];
      if (share != 0.0) coolant_shares_.emplace_back(s, share);
    }
    std::vector<double> y;
    for (int s = 0; s < states(); ++s) y.push_back(x_[at(circuit().state_row(s))] - ambient_);
    const bool same = std::abs(work_.answer[at(rise_)] - settled[Answer::rise]) < 1e-7 &&
                      std::abs(coolant_rise(y.data()) - settled[Answer::coolant_rise]) < 1e-7;
    if (!same) throw std::runtime_error("answers stand elsewhere: see Builder::reserve_answers");
    restart();
  }

  Solver solver_;
  double ambient_, tolerance_, lag_ = 1.0;
  int rise_ = 0, coolant_ = 0;
  std::vector<double> settled_, growth_, x_;
  std::vector<int> others_;                                   // unknowns that are no states
  std::vector<std::vector<std::pair<int, double>>> through_;  // by branch: loops
  std::vector<std::pair<int, double>> coolant_shares_;        // by state
  network::Evaluation work_;
  Eigen::MatrixXd full_, follows_;
  Eigen::VectorXd last_, move_;
  Eigen::PartialPivLU<Eigen::MatrixXd> held_;
};

// ---- what everybody answers

struct Series {
  std::vector<double> rise, coolant;
  long steps = 0, calls = 0, evaluations = 0, slopes = 0;

  Series() : rise(samples), coolant(samples) {}
  void count(const Reduced& r, long taken) {
    steps = taken;
    calls = r.calls;
    evaluations = r.evaluations;
    slopes = r.slopes;
  }
};

Series ours(Warmup& warmup, const Duty& duty, double tolerance) {
  WarmupOptions options;
  options.tolerance = tolerance;
  options.duration = duration;
  const Trajectory t = warmup.run(steady(duty), {}, options);
  if (!t.summary().usable) throw std::runtime_error(t.summary().why);
  Series s;
  for (int i = 0; i < samples; ++i) {
    s.rise[at(i)] = t.at(Trace::rise, i);
    s.coolant[at(i)] = t.at(Trace::coolant_rise, i);
  }
  s.steps = static_cast<long>(t.steps().size()) - 1;
  s.calls = s.evaluations = t.evaluations();
  s.slopes = s.steps;
  return s;
}

// ---- CVODE

struct CvodeUser {
  Reduced* system;
  Eigen::MatrixXd slope;
};

int cvode_rates(realtype, N_Vector y, N_Vector rate, void* user) {
  static_cast<CvodeUser*>(user)->system->rates(N_VGetArrayPointer(y), N_VGetArrayPointer(rate));
  return 0;
}

int cvode_jacobian(realtype, N_Vector y, N_Vector, SUNMatrix slope, void* user, N_Vector, N_Vector,
                   N_Vector) {
  CvodeUser& u = *static_cast<CvodeUser*>(user);
  u.system->jacobian(N_VGetArrayPointer(y), u.slope);
  std::copy_n(u.slope.data(), u.slope.size(), SUNDenseMatrix_Data(slope));
  return 0;
}

void good(int flag) {
  if (flag < 0) throw std::runtime_error(fmt::format("CVODE: {}", CVodeGetReturnFlagName(flag)));
}

// What CVODE keeps, freed in its order.
struct CvodeMemory {
  SUNContext context = nullptr;
  N_Vector y = nullptr;
  SUNMatrix matrix = nullptr;
  SUNLinearSolver linear = nullptr;
  void* cvode = nullptr;

  explicit CvodeMemory(int size) {
    if (SUNContext_Create(nullptr, &context) != 0) throw std::runtime_error("CVODE: no context");
    y = N_VNew_Serial(size, context);
    matrix = SUNDenseMatrix(size, size, context);
    linear = SUNLinSol_Dense(y, matrix, context);
    cvode = CVodeCreate(CV_BDF, context);
  }
  CvodeMemory(const CvodeMemory&) = delete;
  CvodeMemory& operator=(const CvodeMemory&) = delete;
  ~CvodeMemory() {
    CVodeFree(&cvode);
    SUNLinSolFree(linear);
    SUNMatDestroy(matrix);
    N_VDestroy(y);
    SUNContext_Free(&context);
  }
};

// BDF of order 5 is not stable for modes that swing, coolant going round; some steps then come out
// far too short. Order 4 is stable for most of them.
Series cvode(Reduced& system, double tolerance, bool exact, int order = 5) {
  system.restart();
  system.calls = system.evaluations = system.slopes = 0;
  CvodeUser user{&system, {}};
  CvodeMemory m(system.size());
  N_VConst(0.0, m.y);
  double* y = N_VGetArrayPointer(m.y);
  y[system.size() - 1] = system.first_reading();
  good(CVodeInit(m.cvode, cvode_rates, 0.0, m.y));
  good(CVodeSStolerances(m.cvode, tolerance, tolerance * 1.0));  // 1 K over ambient
  good(CVodeSetUserData(m.cvode, &user));
  good(CVodeSetLinearSolver(m.cvode, m.linear, m.matrix));
  if (exact) good(CVodeSetJacFn(m.cvode, cvode_jacobian));
  good(CVodeSetMaxOrd(m.cvode, order));
  good(CVodeSetMaxNumSteps(m.cvode, 100000));
  Series s;
  const auto tell = [&](int i) {
    s.rise[at(i)] = y[system.size() - 1];
    s.coolant[at(i)] = system.coolant_rise(y);
  };
  tell(0);
  double t = 0.0;
  for (int i = 1; i < samples; ++i) {
    good(CVode(m.cvode, i, m.y, &t, CV_NORMAL));
    tell(i);
  }
  long steps = 0;
  good(CVodeGetNumSteps(m.cvode, &steps));
  s.count(system, steps);
  return s;
}

// ---- Boost.Odeint

Series odeint(Reduced& system, double tolerance) {
  system.restart();
  system.calls = system.evaluations = system.slopes = 0;
  std::vector<double> y(at(system.size()), 0.0);
  y.back() = system.first_reading();
  Eigen::MatrixXd slope;
  using RowMajor = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
  const OdeintSystem equations = {[&](const double* x, double* rate) { system.rates(x, rate); },
                                  [&](const double* x, double* out) {
                                    system.jacobian(x, slope);
                                    Eigen::Map<RowMajor>(out, slope.rows(), slope.cols()) = slope;
                                  }};
  Series s;
  const long steps =
      odeint_rosenbrock4(equations, y, tolerance, samples, [&](int second, const double* x) {
        s.rise[at(second)] = x[system.size() - 1];
        s.coolant[at(second)] = system.coolant_rise(x);
      });
  s.count(system, steps);
  return s;
}

// ---- the check

// The largest difference over 1 K and the value.
double difference(const Series& a, const Series& b) {
  double worst = 0.0;
  for (std::size_t i = 0; i < at(samples); ++i) {
    for (const auto& [one, other] :
         {std::pair{a.rise[i], b.rise[i]}, std::pair{a.coolant[i], b.coolant[i]}}) {
      const double apart = std::abs(one - other) / (1.0 + std::abs(other));
      if (!(apart <= worst)) worst = apart;
    }
  }
  return worst;
}

Model model_of(const std::string& name) {
  const std::string examples = std::string(LIBLOOP_SOURCE) + "/examples/";
  return {read_cooler(examples + name + ".toml"), read_bench(examples + "bench-invented.toml"),
          usual_cells};
}

Duty duty_at(double fan) { return {.load = 180.0, .ambient = 296.15, .fan = fan}; }

// How many trajectories are further from the reference than they may.
int check(const std::string& name, double fan) {
  const Duty duty = duty_at(fan);
  const Model model = model_of(name);
  Warmup warmup(model);
  Reduced exactly(model, duty, reference_tolerance);
  const Series reference = cvode(exactly, reference_tolerance, true);
  int failed = 0;
  for (const double tolerance : {1e-4, 1e-6}) {
    Reduced system(model, duty, tolerance);
    const double own = difference(ours(warmup, duty, tolerance), reference);
    const double bdf = difference(cvode(system, tolerance, true), reference);
    const double ros = difference(odeint(system, tolerance), reference);
    const bool holds = own <= 10.0 * tolerance;
    failed += holds ? 0 : 1;
    fmt::print("check\t{}\t{:.0f} %\t{:.0e}\t{:.2g}\t{:.2g}\t{:.2g}\t{}\n", name, 100.0 * fan,
               tolerance, own / tolerance, bdf / tolerance, ros / tolerance,
               holds ? "good" : "TOO FAR");
  }
  return failed;
}

// ---- times

// Of the processor: nobody here has more than one thread, and the machine may be shared.
double seconds(const std::function<void()>& work) {
  const std::clock_t begin = std::clock();
  work();
  return static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC;
}

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

void time_all(const std::string& name, double tolerance, int rounds) {
  const Duty duty = duty_at(1.0);
  const Model model = model_of(name);
  Warmup warmup(model);
  Reduced system(model, duty, tolerance);
  const std::vector<std::pair<std::string, std::function<Series()>>> all = {
      {"libloop", [&] { return ours(warmup, duty, tolerance); }},
      {"cvode, exact slopes", [&] { return cvode(system, tolerance, true); }},
      {"cvode, exact slopes, order 4", [&] { return cvode(system, tolerance, true, 4); }},
      {"cvode, its own slopes", [&] { return cvode(system, tolerance, false); }},
      {"cvode, its own slopes, order 4", [&] { return cvode(system, tolerance, false, 4); }},
      {"odeint rosenbrock4", [&] { return odeint(system, tolerance); }}};
  std::vector<std::vector<double>> times(all.size());
  std::vector<Series> last(all.size());
  for (int round = 0; round <= rounds; ++round) {
    for (std::size_t i = 0; i < all.size(); ++i) {
      const double took = seconds([&] { last[i] = all[i].second(); });
      if (round > 0) times[i].push_back(took);  // the first warms caches
    }
  }
  for (std::size_t i = 0; i < all.size(); ++i) {
    fmt::print("time\t{}\t{:.0e}\t{}\t{:.6g}\t{:.6g}\t{}\t{}\t{}\t{}\n", name, tolerance,
               all[i].first, median(times[i]), *std::min_element(times[i].begin(), times[i].end()),
               last[i].steps, last[i].calls, last[i].evaluations, last[i].slopes);
  }
}

}  // namespace

int main(int argc, char** argv) {
  const int rounds = argc > 1 ? std::max(1, std::atoi(argv[1])) : 25;
  try {
    int failed = 0;
    fmt::print("check\tcooler\tfans\ttolerance\tlibloop\tcvode\todeint\n");
    for (const char* name : {"dense-280", "thin-240", "deep-360"}) {
      for (const double fan : {1.0, 0.5}) failed += check(name, fan);
    }
    fmt::print(
        "time\tcooler\ttolerance\twho\tmedian s\tleast s\tsteps\tcalls\tevaluations\tslopes\n");
    for (const char* name : {"dense-280", "deep-360"}) {
      for (const double tolerance : {1e-4, 1e-6}) time_all(name, tolerance, rounds);
    }
    return failed > 0 ? 1 : 0;
  } catch (const std::exception& error) {
    fmt::print(stderr, "{}\n", error.what());
    return 2;
  }
}
