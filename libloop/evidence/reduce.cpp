#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/error.hpp"
#include "libloop/base/text.hpp"
#include "libloop/evidence/levels_join.hpp"
#include "libloop/evidence/log_columns_told.hpp"
#include "libloop/evidence/reduce_limit.hpp"
#include "libloop/evidence/reduce_point.hpp"
#include "libloop/evidence/reduction.hpp"

namespace libloop {
namespace {

void check(const ReduceOptions& options) {
  const auto positive = [](double value, std::string_view what, std::string_view unit) {
    if (value > 0.0 && std::isfinite(value)) return;
    refuse(Code::bounds, fmt::format("{} of {} {}.", what, text::number(value), unit),
           "Give more than nothing.");
  };
  positive(options.creep, "A creep", "K/s");
  positive(options.shortest, "A shortest steady window", "s");
  if (!(options.confidence >= 0.5 && options.confidence <= 0.9999)) {
    refuse(Code::bounds, fmt::format("A confidence of {}.", text::number(options.confidence)),
           "Give a share between 0.5 and 0.9999, such as 0.95.");
  }
  if (!std::isfinite(options.ambient_shift)) {
    refuse(Code::bounds, "The shift of the ambient log's clock is no number.", "Give seconds.");
  }
}

const Series& chip_of(const Log& log) {
  const Series* chip = log.find(Channel::chip);
  if (chip != nullptr && std::any_of(chip->values.begin(), chip->values.end(), is_reading)) {
    return *chip;
  }
  refuse(Code::missing, fmt::format("{} has no reading of the chip.", log.file),
         "Name its column: --column chip=HEADING." + evidence::columns_told(log));
}

class LeftOutSteps {
 public:
  void add(const std::string& reason, double at) {
    for (Kind& kind : kinds_) {
      if (kind.reason == reason) return kind.times.push_back(at);
    }
    kinds_.push_back({reason, {at}});
  }

  std::vector<LeftOut> told() const {
    constexpr std::size_t most = 5;
    std::vector<LeftOut> all;
    for (const Kind& kind : kinds_) {
      std::vector<std::string> at;
      for (const double t : kind.times) {
        if (at.size() == most) break;
        at.push_back(text::number(t, 6));
      }
      const char* more = kind.times.size() > most ? " and later" : "";
      all.push_back({static_cast<long long>(kind.times.size()),
                     fmt::format("{} (from {} s{})", kind.reason, text::list(at), more)});
    }
    return all;
  }

 private:
  struct Kind {
    std::string reason;
    std::vector<double> times;
  };
  std::vector<Kind> kinds_;
};

void join_levels(Reduction& reduction, const std::vector<Level>& levels) {
  for (ReducedPoint& point : reduction.points) {
    JoinedLevel joined = level_at(levels, point.state.fan_share, point.state.fan_speed);
    point.level = std::move(joined.level);
    if (!joined.note.empty()) point.notes.push_back(std::move(joined.note));
  }
}

}  // namespace

Reduction reduce(const Log& log, const Instruments<double>& instruments,
                 const ReduceOptions& options) {
  check(options);
  const Series& chip = chip_of(log);
  const Rows rows{log, chip, ambient_of(log, options)};
  const std::vector<Cut> all = cuts(log);
  Reduction reduction;
  reduction.steps = steps_of(log, all);
  reduction.notes = rows.ambient.notes;
  LeftOutSteps left_out;
  std::vector<Kept> kept;
  for (std::size_t i = 0; i < reduction.steps.size(); ++i) {
    const Step& step = reduction.steps[i];
    const bool followed = i + 1 < reduction.steps.size();
    PointMade made = point_of(rows, step, followed, instruments, options);
    if (!made.point) {
      left_out.add(made.why_not, log.time[step.begin]);
      continue;
    }
    made.point->step = i;
    reduction.points.push_back(std::move(*made.point));
    kept.push_back({.step = step, .cut = {}, .before = {}, .begin = made.begin, .end = made.end});
  }
  reduction.left_out = left_out.told();
  for (std::size_t i = 0; i < kept.size(); ++i) kept[i].point = &reduction.points[i];
  begin_by(all, reduction.steps, kept);
  judge_held(rows, kept, options);
  if (options.levels != nullptr) join_levels(reduction, *options.levels);
  return reduction;
}

}  // namespace libloop
