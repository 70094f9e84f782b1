// One warm-up being solved.
#pragma once

#include <string>
#include <vector>

#include "libloop/model/build.hpp"
#include "libloop/warmup/pieces.hpp"
#include "libloop/warmup/schedule.hpp"

namespace libloop {

class Run {
 public:
  // `start`: unknowns to begin with; their flows and what follows temperatures are only
  // guesses.
  Run(const Model::Setup& setup, Built& built, const Leakage& leakage, const Schedule& schedule,
      const WarmupOptions& options, std::vector<double> start);

  // Fills `data` beside settled point and notes of it.
  void solve(Trajectory::Data& data);

 private:
  // How a stretch of a segment ended.
  enum class Ended {
    covered,
    jumped,  // flows did: it goes on from there
    failed   // the summary says why
  };

  bool go(const Segment& segment, double end);
  bool find_flows(const Segment& segment);
  Ended integrate(const Segment& segment, double end, double first);
  Ended step_to(const Segment& segment, double end, const math::Controlled& control,
                math::Dense& dense);
  void record(double end, const math::Rosenbrock& stepper, const math::Dense& dense);
  Ended recover(const Segment& segment);
  bool flows_hold();
  bool moved(const std::vector<double>& before) const;
  bool settled() const;
  bool makes_sense(const Segment& segment);
  bool beyond_sense() const;
  bool leaks_below_nothing(const Segment& segment) const;
  // Fill the summary; false, so that a caller can end with them.
  bool fail(std::string reason, std::string why);
  bool fail_leakage();

  const Model::Setup& setup_;
  Built& built_;
  const Leakage& leakage_;
  const Schedule& schedule_;
  const WarmupOptions& options_;
  network::Motion motion_;
  double t_ = 0.0;         // s, so far
  std::vector<double> x_;  // the circuit's unknowns, as flows are looked for
  math::Vector z_;         // unknowns and riders at t_
  Trajectory::Data* data_ = nullptr;
  bool several_ = false;  // whether several flows may balance
  bool last_ = false;     // in the last segment, with no end given
  int jumps_ = 0;
  double step_ = 0.0;  // s, the last one taken
};

}  // namespace libloop
