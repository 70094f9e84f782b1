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
  bool go(const Segment& segment, double end);
  bool follow(const Segment& segment);
  bool integrate(const Segment& segment, double end);
  bool recover(const Segment& segment, double t);
  bool flows_hold();
  void record(double begin, double end, const math::Vector& before, const math::Vector& after,
              const math::Rosenbrock& stepper);
  bool settled() const;
  bool beyond_sense() const;
  bool leaks_below_nothing(const Segment& segment, double t) const;
  bool fail(std::string reason, std::string why);
  bool fail_leakage(double t);
  double load(const Segment& segment) const;

  const Model::Setup& setup_;
  Built& built_;
  const Leakage& leakage_;
  const Schedule& schedule_;
  const WarmupOptions& options_;
  network::Motion motion_;
  std::vector<double> x_;
  math::Vector z_;
  Trajectory::Data* data_ = nullptr;
  bool several_ = false;  // whether several flows may balance
  bool last_ = false;     // in the last segment, with no end given
  int jumps_ = 0;
  double step_ = 0.0;  // s, the last one taken
};

}  // namespace libloop
