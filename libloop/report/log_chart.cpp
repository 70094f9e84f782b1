#include <algorithm>
#include <cmath>

#include "libloop/base/error.hpp"
#include "libloop/report/chart_parts.hpp"
#include "libloop/report/chart_text.hpp"
#include "libloop/report/log_chart_trace.hpp"
#include "libloop/report/log_chart_writing.hpp"
#include "libloop/report/pictures_parts.hpp"

namespace libloop::report {
namespace {

constexpr double plot_left = 170.0, plot_right = 1860.0, axis_room = 120.0;  // px
constexpr double rows_top = 164.0, row_pitch = 40.0, rows_to_plot = 62.0;    // px
constexpr double settled_within = 0.1;  // K: where the picture of a forecast ends; judgement

struct TimeUnit {
  double seconds;
  Word axis;
};

TimeUnit unit_for(double length) {
  if (length < 300.0) return {1.0, Word::seconds_axis};
  if (length < 6.0 * 3600.0) return {60.0, Word::minutes_axis};
  return {3600.0, Word::hours_axis};
}

class LogChart {
 public:
  LogChart(const Log& log, const Reduction* reduction, const Forecast* forecast,
           const PictureOptions& options)
      : log_(log),
        reduction_(reduction),
        options_(options),
        say_(options),
        steps_(reduction != nullptr ? reduction->steps : steps(log)),
        trace_(trace_of(log, reduction, options.ambient)) {
    if (trace_.points.empty()) {
      refuse(Code::missing, "the log has no reading of the chip to draw",
             "Name the chip's column where the log is read.");
    }
    if (trace_.rise && forecast != nullptr && !forecast->times.empty()) forecast_ = forecast;
    rows_ = set_rows(log, steps_, say_);
    plan_forecast();
    unit_ = unit_for(end_ - log.time.front());
    // All values alike, in as much detail as the tightest of them has room for.
    for (const Detail detail : {Detail::doubt, Detail::unit, Detail::number}) {
      if (build(detail, false)) return;
    }
    build(Detail::number, true);
  }
  Chart chart() && { return std::move(chart_); }

 private:
  // Whether every value found its room; `some` where it is known that not all will.
  bool build(Detail detail, bool some) {
    chart_ = Chart{};
    head(detail, some);
    axes();
    settings();
    trace();
    if (trace_.rise && reduction_ != nullptr) windows();
    if (forecast_ != nullptr) course();
    return write_log(chart_, say_, trace_.rise ? reduction_ : nullptr, forecast_, unit_.seconds,
                     detail);
  }

  double at(double seconds) const { return seconds / unit_.seconds; }
  static Look look(int colour, Emphasis emphasis, int dash = 0) {
    return {colour, 0, dash, emphasis};
  }

  // Courses go on long after all has settled: the picture ends where the median has, nearly.
  void plan_forecast() {
    end_ = log_.time.back();
    if (forecast_ == nullptr) return;
    origin_ = steps_.empty() ? log_.time.front() : log_.time[steps_.back().begin];
    const Forecast& f = *forecast_;
    std::size_t last = f.times.size() - 1;
    while (last > 0 && std::abs(f.p50[last - 1] - f.p50.back()) < settled_within) --last;
    // Room enough to see the band beside the log.
    const double least = end_ - origin_ + 0.15 * (end_ - log_.time.front());
    while (last + 1 < f.times.size() && f.times[last] < least) ++last;
    shown_ = last + 1;
    end_ = std::max(end_, origin_ + f.times[last]);
  }

  void head(Detail detail, bool some) {
    std::string kinds;
    const auto add = [&](Word word) { kinds += (kinds.empty() ? "" : " ") + say_(word); };
    if (trace_.rise && reduction_ != nullptr && !reduction_->points.empty()) {
      const std::vector<ReducedPoint>& points = reduction_->points;
      const auto settled = [](const ReducedPoint& point) { return point.settled; };
      if (std::any_of(points.begin(), points.end(), settled)) add(Word::window_note);
      if (!std::all_of(points.begin(), points.end(), settled)) add(Word::unsettled_note);
      add(detail == Detail::doubt ? Word::strip_doubt_note : Word::strip_note);
      if (some) add(Word::value_no_room);
    }
    if (forecast_ != nullptr) add(Word::forecast_note);
    if (trace_.points.size() > 2 * columns()) add(Word::thinned_note);
    std::vector<std::string> notes;
    if (!kinds.empty()) notes.push_back(kinds);
    if (!options_.note.empty()) notes.push_back(options_.note);
    const std::string ours = say_(trace_.rise ? Word::rise_log_title : Word::chip_log_title);
    foot_ = head_and_foot(chart_, options_.title.empty() ? ours : options_.title,
                          options_.under_test, notes);
  }

  static std::size_t columns() { return static_cast<std::size_t>(plot_right - plot_left); }

  void axes() {
    const double top = rows_top + row_pitch * static_cast<double>(rows_.size()) + rows_to_plot;
    chart_.area = {plot_left, top, plot_right, foot_ - axis_room};
    Reach y;
    for (const XY& point : trace_.points) y.add(point.y);
    if (forecast_ != nullptr) {
      for (std::size_t i = first_shown(); i < shown_; ++i) {
        y.add(forecast_->p05[i]);
        y.add(forecast_->p95[i]);
      }
      y.add(forecast_->settled.p05);
      y.add(forecast_->settled.p95);
      y.add(forecast_->furthest());
    }
    y = y.padded(0.1);
    chart_.y = {say_(trace_.rise ? Word::rise_axis : Word::chip_axis), y.low, y.high,
                ticks(round_values(y.low, y.high, 6), say_.mark())};
    const double first = at(log_.time.front()), last = at(end_);
    const double length = last > first ? last - first : 1.0;
    chart_.x = {say_(unit_.axis), first, first + 1.01 * length,
                ticks(round_values(first, first + length, 8), say_.mark())};
  }

  // ---- what was set: a row of writing for each, above the plot

  void settings() {
    double y = rows_top;
    std::vector<double> marked;  // rows with words at their steps
    for (const SetRow& row : rows_) {
      chart_.texts.push_back({fitted(row.name, plot_left - 76.0, smallest_text), 60.0, y,
                              Align::left, smallest_text, false, look(ink, Emphasis::muted)});
      bool any = false;
      for (const SetStretch& s : row.stretches) any = setting(s, y) || any;
      if (any) {
        marked.push_back(y);
      } else {
        chart_.texts.push_back({row.range, plot_left, y, Align::left, smallest_text, false, {}});
      }
      y += row_pitch;
    }
    for (std::size_t i = 1; i < steps_.size(); ++i) {
      const double time = at(log_.time[steps_[i].begin]);
      chart_.rules.push_back({time, look(ink, Emphasis::muted)});
      const double x = chart_.px(time), half = row_pitch / 2.0;
      for (const double row : marked) {
        chart_.strokes.push_back({{x, row - half}, {x, row + half}, look(ink, Emphasis::muted)});
      }
    }
  }

  // Whether it had room.
  bool setting(const SetStretch& s, double y) {
    constexpr double inset = 10.0;  // px
    const double left = chart_.px(at(s.from)) + inset, right = chart_.px(at(s.to));
    if (text_px(s.words, smallest_text) > right - left) return false;
    chart_.texts.push_back({s.words, left, y, Align::left, smallest_text, false, {}});
    return true;
  }

  // ---- the reading

  void trace() {
    Curve line{{}, look(ink, Emphasis::muted)};
    for (const XY& point : thinned(trace_.points, static_cast<int>(columns()))) {
      line.points.push_back({at(point.x), point.y});
    }
    chart_.curves.push_back(std::move(line));
  }

  void windows() {
    for (const ReducedPoint& point : reduction_->points) {
      const double from = at(point.start), to = at(point.end), half = half_95(point);
      // Only what is steady is shaded.
      if (point.settled) chart_.spans.push_back({from, to, look(mean_colour, Emphasis::plain)});
      chart_.bands.push_back(
          {{from, to},
           {point.rise - half, point.rise - half},
           {point.rise + half, point.rise + half},
           look(mean_colour, point.settled ? Emphasis::strong : Emphasis::plain)});
      chart_.curves.push_back({{{from, point.rise}, {to, point.rise}},
                               look(mean_colour, Emphasis::plain, point.settled ? 0 : 1)});
    }
  }

  // ---- where it is going

  std::size_t first_shown() const {
    const double now = log_.time.back() - origin_;
    std::size_t i = 0;
    while (i + 1 < shown_ && forecast_->times[i + 1] < now) ++i;
    return i;
  }

  void course() {
    const Forecast& f = *forecast_;
    Band band{{}, {}, {}, look(forecast_colour, Emphasis::plain)};
    Curve middle{{}, look(forecast_colour, Emphasis::plain)};
    for (std::size_t i = first_shown(); i < shown_; ++i) {
      const double x = at(origin_ + f.times[i]);
      band.x.push_back(x);
      band.low.push_back(f.p05[i]);
      band.high.push_back(f.p95[i]);
      middle.points.push_back({x, f.p50[i]});
    }
    chart_.bands.push_back(std::move(band));
    chart_.curves.push_back(std::move(middle));
    const double x = at(end_);
    chart_.bars.push_back(
        {{x, f.settled.p05}, {x, f.settled.p95}, look(forecast_colour, Emphasis::plain), false});
    if (f.allowance != 0.0) {
      chart_.bars.push_back({{x, f.allowance < 0.0 ? f.settled.p05 : f.settled.p95},
                             {x, f.furthest()},
                             look(forecast_colour, Emphasis::plain),
                             true});
    }
  }

  const Log& log_;
  const Reduction* reduction_;
  const Forecast* forecast_ = nullptr;
  const PictureOptions& options_;
  Speaker say_;
  std::vector<Step> steps_;
  Trace trace_;
  std::vector<SetRow> rows_;
  TimeUnit unit_{1.0, Word::seconds_axis};
  double origin_ = 0.0, end_ = 0.0;  // s, of the last step and of the picture
  std::size_t shown_ = 0;            // points of the forecast
  double foot_ = 0.0;                // px
  Chart chart_;
};

}  // namespace

Chart log_chart(const Log& log, const Reduction* reduction, const Forecast* forecast,
                const PictureOptions& options) {
  if (log.empty()) refuse(Code::missing, "the log has no row to draw", "Give a log with readings.");
  return LogChart(log, reduction, forecast, options).chart();
}

}  // namespace libloop::report
