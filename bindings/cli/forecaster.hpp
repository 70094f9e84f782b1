// One look at a log: where its step is going.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "bindings/cli/duty_lists.hpp"
#include "libloop/evidence/reduction.hpp"
#include "libloop/model/model.hpp"
#include "libloop/report/forecast.hpp"

namespace libloop::cli {

struct ForecastQuestion {
  std::string cooler, bench;      // files; empty cooler: no physics
  DutyLists lists;                // what the log does not say
  std::optional<double> ambient;  // K absolute, instead of a column
  int step = 0;                   // which, from 1; 0: the last
  double within = 0.5;            // K
  std::string limit;              // the chip's, as given; empty: the bench file's
};

// Keeps what one look leaves for the next: the warm-ups of a step last as long as it does.
class Forecaster {
 public:
  explicit Forecaster(ForecastQuestion question);
  ~Forecaster();

  // Throws InputError when the log has no such step, or nothing to forecast.
  report::ToldForecast look(const Log& log);
  // K absolute, of the chip, as given or by the bench file; nothing: neither says.
  const std::optional<double>& limit() const { return limit_; }
  // The step of the last look.
  const Step& step() const { return step_; }

 private:
  struct Physics;
  const Courses& courses(const Log& log, const std::vector<Step>& cut, std::size_t which,
                         report::ToldForecast& told);

  ForecastQuestion question_;
  std::optional<double> limit_;
  Step step_;
  std::unique_ptr<Physics> physics_;
  Courses courses_;
};

}  // namespace libloop::cli
