// A circuit in time: the equations of a warm-up as the stepper of math/rosenbrock.hpp takes
// them.
//
// You need this header to integrate a circuit. The unknowns are the circuit's, in its order,
// with what is told behind them (`Rider`):
//   states   dT/dt = heat / stored heat per kelvin
//   flows, auxiliaries, nodes   0 = their residuals
//   riders   0 = answer - value, or d value/dt = answer, or (answer - value) / lag;
//            all of them mass d value/dt = gain answer - decay value
// Riders feed nothing back; they share the step's control and its dense output, so that what
// is read is as exact as what is solved.
#pragma once

#include <functional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "libloop/math/rosenbrock.hpp"
#include "libloop/network/circuit.hpp"
#include "libloop/network/linear.hpp"

namespace libloop::network {

struct Rider {
  enum class Kind {
    value,     // of the answer now
    lagged,    // of a reading that follows it
    integral,  // over time
    stored     // heat into the states that count, over time; has no answer
  };
  Kind kind = Kind::value;
  double lag = 0.0;     // s
  double size = 1.0;    // what counts as not small, for the tolerance
  double origin = 0.0;  // where its size is counted from
  // Of the circuit's answers, and the slopes by those it takes.
  std::function<double(const std::vector<double>&)> value{};
  std::function<std::vector<std::pair<int, double>>(const std::vector<double>&)> slopes{};
  bool with_own_heat = false;  // adds the states' own heat: leakage
};

// Heat that a state makes itself, slope (T - reference), both moving evenly in time.
struct OwnHeat {
  int state = 0;
  double slope = 0.0, slope_rate = 0.0;          // W/K, W/(K s)
  double reference = 0.0, reference_rate = 0.0;  // K, K/s
};

// What moves by itself from `begin` on: quantities, each evenly.
struct Course {
  double begin = 0.0;
  std::vector<int> moved;
  std::vector<double> value, rate;  // at `begin`, and by second
  std::vector<OwnHeat> own_heat;
};

class Motion {
 public:
  using Vector = math::Vector;

  // `origin`: K, whence temperatures count for the tolerance; `uncounted`: a state whose heat
  // is not `stored`, or nowhere.
  Motion(Circuit& circuit, std::vector<Rider> riders, double tolerance, double origin,
         int uncounted);

  // Prepares the circuit for it.
  void set(Course course);

  // Unknowns and riders at t: values as they are, the rest as given by `before` (empty:
  // readings at their answers, integrals at zero).
  Vector start(double t, std::span<const double> x, const Vector& before);

  // ---- a system of math/rosenbrock.hpp
  void evaluate(double t, const Vector& x, Vector& f);
  void linearise(double t, const Vector& x, Vector& f, Vector& dfdt);
  bool factor(double shift);
  void solve(Vector& right);
  const Vector& mass() const { return mass_; }
  double error(const Vector& before, const Vector& after, const Vector& error) const;

  int unknowns() const { return unknowns_; }
  int size() const { return unknowns_ + static_cast<int>(riders_.size()); }
  int evaluations() const { return evaluations_; }
  // The unknown whose balance is not finite at x, by name; empty when all are.
  std::string culprit(double t, const Vector& x);
  // K/s of every state in the last evaluation, and its capacities.
  const std::vector<double>& speed() const { return speed_; }

 private:
  // A slope that counts in a gradient: its place, and the unknown it is by.
  struct Term {
    int place = 0, unknown = 0;
    double sign = 1.0;
  };

  void move_to(double t);
  void fill(double t, const Vector& x, Vector& f);
  void add_rates(double t, const Vector& x, Vector& dfdt);
  void find_terms();
  void find_gradients(double t);
  void add_terms(const std::vector<Term>& terms, double weight, std::size_t rider);

  Circuit& circuit_;
  std::vector<Rider> riders_;
  double tolerance_;
  int unknowns_, states_;
  int uncounted_;
  Course course_;
  double prepared_for_ = 0.0;
  std::vector<double> moved_;

  Evaluation work_;
  Rates rates_;
  Linear linear_;
  std::vector<double> speed_, capacity_, slope_, right_, step_, own_;
  std::vector<std::vector<Term>> answers_;  // by answer
  std::vector<Term> stored_;                // of the heat into states that count
  Eigen::MatrixXd gradient_;                // riders x unknowns
  Vector mass_, origin_, floor_, told_;
  std::vector<double> gain_, decay_;  // by rider
  double shift_ = 0.0;
  int evaluations_ = 0;
};

}  // namespace libloop::network
