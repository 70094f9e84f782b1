#include "bindings/cli/forecaster.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "bindings/cli/assumed.hpp"
#include "bindings/cli/call.hpp"
#include "bindings/cli/overrides.hpp"
#include "bindings/cli/patience.hpp"
#include "libloop/base/text.hpp"
#include "libloop/evidence/held.hpp"
#include "libloop/evidence/step_readings.hpp"
#include "libloop/part/catalogue.hpp"
#include "libloop/quantity/unit.hpp"
#include "libloop/warmup/warmup.hpp"

namespace libloop::cli {
namespace {

// A first step that begins so little over ambient began cold; judgement.
constexpr double cold = 5.0;  // K

std::size_t which_of(const Log& log, const std::vector<Step>& cut, int asked) {
  if (cut.empty()) {
    throw InputError(Problem{
        Code::missing, "the log has no row yet", "Wait for some.", {log.file, 0, 0, 1, {}}});
  }
  if (asked == 0) return cut.size() - 1;
  if (asked >= 1 && static_cast<std::size_t>(asked) <= cut.size()) {
    return static_cast<std::size_t>(asked) - 1;
  }
  fail_call(fmt::format("--step {}: the log has {}", asked, cut.size()),
            "Steps count from 1; left out, the last is taken.");
}

const char* where_from(bool option, bool log, const char* usual) {
  return option ? "as given" : log ? "by the log" : usual;
}

void check_bounds(const std::string& file, const Duty& duty) {
  const auto check = [&](const char* name, double value) {
    const Row& row = *conditions_table().find(name);
    if (value >= row.min && value <= row.max) return;
    throw InputError(
        Problem{Code::bounds,
                fmt::format("{} = {} in this step is out of bounds", name, show(value, row.unit)),
                fmt::format("It must lie between {} and {}; give --{}.", show(row.min, row.unit),
                            show(row.max, row.unit), name),
                {file, 0, 0, 1, {}}});
  };
  check("load", duty.load);
  check("fan", duty.fan);
  check("pump", duty.pump);
  check("ambient", duty.ambient);
}

bool same(const Duty& a, const Duty& b) {
  const auto near = [](double x, double y) { return std::abs(x - y) <= 0.01 * std::abs(x); };
  return near(a.load, b.load) && near(a.fan, b.fan) && near(a.pump, b.pump) &&
         std::abs(a.ambient - b.ambient) < 0.5;
}

std::string speed_words(double share) { return fmt::format("{:.0f} %", 100.0 * share); }

// What options say goes before what the log says.
Duty asked_duty(const ForecastQuestion& question, const Model& model, const StepReadings& readings,
                const std::string& file) {
  const MeasuredState& set = readings.set;
  const bool load_given = !question.lists.load.empty();
  if (!load_given && !set.load && !set.preset) {
    fail_call("--load is required", fmt::format("{} has no column of loads.", file));
  }
  DutyLists lists = question.lists;
  if (!load_given) lists.load = {"0"};  // the log's follows
  const std::vector<Duty> given = duties(lists, model.cooler());
  if (given.size() != 1) {
    fail_call(fmt::format("{} points, where one is meant", given.size()),
              "Give one load, one fan speed and one pump speed.");
  }
  Duty duty = duty_of(readings, model.cooler(), given.front());
  if (load_given) duty.load = given.front().load;
  if (!question.lists.fan.empty()) duty.fan = given.front().fan;
  if (!question.lists.pump.empty()) duty.pump = given.front().pump;
  check_bounds(file, duty);
  return duty;
}

constexpr double first_moments = 5.0;  // s

// A level at the begin that these courses hardly allow.
std::string unlike_words(const StepReadings& now, const Courses& courses) {
  if (!courses.physical || !std::isfinite(courses.u_level)) return {};
  double off = 0.0, count = 0.0;
  for (std::size_t i = 0; i < now.times.size(); ++i) {
    const double t = now.times[i];
    if (t < courses.skip || t > courses.skip + first_moments || !is_reading(now.rise[i])) continue;
    const auto at = std::lower_bound(courses.times.begin(), courses.times.end(), t);
    const auto k =
        static_cast<std::size_t>(std::min(at, courses.times.end() - 1) - courses.times.begin());
    double expected = 0.0, weight = 0.0;
    for (const Course& course : courses.all) {
      expected += course.weight * (course.level + course.swing * (1.0 - course.left[k]));
      weight += course.weight;
    }
    off += now.rise[i] - expected / weight;
    count += 1.0;
  }
  if (count == 0.0 || std::abs(off / count) <= 3.0 * courses.u_level) return {};
  return fmt::format(
      "the log does not look like this cooler on this bench: it begins {} K {} than "
      "expected",
      text::number(std::abs(off / count), 2), off > 0.0 ? "hotter" : "cooler");
}

}  // namespace

struct Forecaster::Physics {
  Model model;
  // What the courses at hand were made for.
  std::optional<Duty> duty, before;
  bool blank = false;  // what was before is not known
  bool made = false;
};

Forecaster::Forecaster(ForecastQuestion question) : question_(std::move(question)) {
  if (question_.cooler.empty()) {
    limit_ = chip_limit(question_.limit, {}, Bench());
    courses_ = exponential_courses();
    return;
  }
  physics_ = std::make_unique<Physics>(
      Physics{Model(cooler_named(question_.cooler), bench_or_usual(question_.bench), usual_cells),
              {},
              {},
              false,
              false});
  limit_ = chip_limit(question_.limit, question_.bench, physics_->model.bench());
}

Forecaster::~Forecaster() = default;

const Courses& Forecaster::courses(const Log& log, const std::vector<Step>& cut, std::size_t which,
                                   report::ToldForecast& told) {
  if (physics_ == nullptr) return courses_;
  Physics& physics = *physics_;
  const Model& model = physics.model;
  const StepReadings now = step_readings(log, cut[which], question_.ambient);
  const Duty duty = asked_duty(question_, model, now, log.file);
  std::optional<Duty> before;
  if (which > 0) {
    before = asked_duty(question_, model, step_readings(log, cut[which - 1], question_.ambient),
                        log.file);
  }
  const auto first = std::find_if(now.rise.begin(), now.rise.end(), is_reading);
  const bool blank = which == 0 && first != now.rise.end() && *first > cold;
  const MeasuredState& set = now.set;
  told.courses = fmt::format(
      "warm-ups of {} on {}: {} ({}), fans {} ({})",
      model.cooler().title.empty() ? "the cooler" : model.cooler().title,
      model.bench().title.empty() ? "the bench" : model.bench().title, show(duty.load, "W"),
      where_from(!question_.lists.load.empty(), true, ""), speed_words(duty.fan),
      where_from(!question_.lists.fan.empty(), set.fan_share || set.fan_speed, "assumed"));
  if (blank) {
    told.notes.push_back(fmt::format(
        "the log begins {:.1f} K over ambient and does not say what ran before; nothing is "
        "assumed of it",
        *first));
  }
  const bool as_before = physics.made && physics.blank == blank && same(*physics.duty, duty) &&
                         physics.before.has_value() == before.has_value() &&
                         (!before || same(*physics.before, *before));
  if (as_before) return courses_;
  const Patience patience("warming up");
  courses_ = physical_courses(model, duty, before);
  if (blank) {
    constexpr double any_swing = 30.0;  // K; judgement: as wide as steps of a bench go
    courses_.u_level = std::numeric_limits<double>::infinity();
    for (Course& course : courses_.all) course.u_swing = any_swing;
  }
  physics.duty = duty;
  physics.before = before;
  physics.blank = blank;
  physics.made = true;
  return courses_;
}

report::ToldForecast Forecaster::look(const Log& log) {
  const std::vector<Step> cut = steps(log);
  const std::size_t which = which_of(log, cut, question_.step);
  step_ = cut[which];
  const StepReadings now = step_readings(log, step_, question_.ambient);
  report::ToldForecast told;
  told.file = log.file;
  told.step = which;
  told.steps = cut.size();
  told.cut_by = step_.cut_by;
  told.begin = now.begin;
  told.elapsed = now.elapsed();
  told.within = question_.within;
  told.rows = log.rows_read;
  told.decisions = log.decisions;
  told.left_out = log.left_out;
  const Courses& courses = this->courses(log, cut, which, told);
  ForecastOptions options;
  options.within = question_.within;
  options.step = now.rounding;
  told.forecast = forecast(now.times, now.rise, courses, options);
  const std::string throttled = throttled_in(log, which);
  if (!throttled.empty()) told.cautions.push_back(throttled);
  if (limit_) {
    const double settled = now.ambient + told.forecast.settled.p50;
    for (std::string& one : limit_cautions(log, step_, settled, *limit_)) {
      told.cautions.push_back(std::move(one));
    }
  }
  const std::string unlike = unlike_words(now, courses);
  if (!unlike.empty()) told.notes.push_back(unlike);
  return told;
}

}  // namespace libloop::cli
