#include "libloop/report/log_chart_writing.hpp"

#include <algorithm>
#include <cmath>

#include "libloop/report/chart_labels.hpp"
#include "libloop/report/reduction_words.hpp"

namespace libloop::report {
namespace {

constexpr double value_size = 30.0;   // px, of writing
constexpr double value_gap = 34.0;    // px, from what is named
constexpr double line_pitch = 40.0;   // px
constexpr double overhang = 10.0;     // px, of a text beyond its step; judgement
constexpr double short_step = 300.0;  // px; judgement
// What a text may hide, in points of curves; judgement.
constexpr double few_crossings = 9.5, any_cost = 1e9;

// Where a text of a point may stand, px: over its step; a short last one has the page beside it.
struct Stretch {
  double left = 0.0, right = 0.0;
};

class Writer {
 public:
  Writer(Chart& chart, const Speaker& say, const Reduction* reduction, const Forecast* forecast,
         double unit)
      : chart_(chart), say_(say), reduction_(reduction), forecast_(forecast), unit_(unit) {}

  bool write(Detail detail) {
    Labels labels;
    for (const Text& text : chart_.all_texts()) labels.occupy(text);
    const Area& a = chart_.area;
    labels.occupy(Box{0.0, 0.0, a.left, page_bottom});
    labels.occupy(Box{0.0, a.bottom, page_right, page_bottom});
    labels.occupy(Box{0.0, 0.0, page_right, a.top - 4.0});
    for (const Curve& curve : chart_.curves) {
      std::vector<XY> line;
      for (const XY& p : curve.points) line.push_back({chart_.px(p.x), chart_.py(p.y)});
      labels.avoid(along(line), 1.0);
    }
    for (const Rule& rule : chart_.rules) {
      const double x = chart_.px(rule.at);
      labels.avoid(along({{x, a.top}, {x, a.bottom}}), 2.0);
    }
    if (forecast_ != nullptr) write_forecast(labels);
    if (reduction_ == nullptr) return true;
    bool all = true;
    for (const ReducedPoint& point : reduction_->points) {
      all = write_value(labels, point, detail) && all;
    }
    return all;
  }

  bool write_value(Labels& labels, const ReducedPoint& point, Detail detail) {
    const Stretch step = step_of(point);
    const double middle = chart_.px(at((point.start + point.end) / 2.0)), y = chart_.py(point.rise);
    const double half = std::abs(chart_.py(point.rise + half_95(point)) - y);
    const Text value{value_words(point, detail),
                     middle,
                     y,
                     Align::middle,
                     value_size,
                     point.settled && point.held,
                     look(mean_colour, Emphasis::plain)};
    const double limit = detail == Detail::doubt ? few_crossings : any_cost;
    if (!place(labels, value, value_gap + half, limit, step)) return false;
    write_remark(labels, point, chart_.texts.back(), y, step);
    return true;
  }

  // Beyond the value, in as many words as its step has room for.
  void write_remark(Labels& labels, const ReducedPoint& point, Text beyond, double y,
                    const Stretch& step) {
    beyond.size = smallest_text;
    beyond.bold = false;
    const double away = beyond.y < y ? -line_pitch : line_pitch, middle = beyond.x;
    for (const std::string& words : remarks(point)) {
      beyond.words = words;
      beyond.x = within(step, beyond, middle);
      std::vector<Candidate> all;
      for (const double lines : {1.0, 2.0, -1.0, 3.0, -2.0, 4.0}) {
        Text moved = beyond;
        moved.y += lines * away;
        if (inside(step, moved)) all.push_back({moved, 20.0 * std::abs(lines - 1.0), {}});
      }
      const auto found = labels.place(all, any_cost);
      if (!found) continue;
      chart_.texts.push_back(found->text);
      return;
    }
  }

  // Above or below, straight or to either side: rather to the left, where its own step still is.
  bool place(Labels& labels, const Text& text, double away, double limit, const Stretch& step) {
    std::vector<Candidate> all;
    const double nearest = within(step, text, text.x) - text.x;
    for (const double side : {-1.0, 1.0}) {
      for (const double further : {1.0, 1.6, 2.4}) {
        for (const double shift : {0.0, -30.0, 30.0, -60.0, 60.0, -90.0, 90.0, nearest}) {
          Text moved = text;
          moved.x += shift;
          moved.y += side * further * away;
          if (!inside(step, moved)) continue;
          const double aside = shift > 0.0 ? 0.3 * shift : -0.1 * shift;
          all.push_back({moved, 3.0 * (further - 1.0) + aside, {}});
        }
      }
    }
    const auto placed = labels.place(all, limit);
    if (placed) chart_.texts.push_back(placed->text);
    return placed.has_value();
  }

  void write_forecast(Labels& labels) {
    const Forecast& f = *forecast_;
    const Look writing = look(forecast_colour, Emphasis::plain);
    const double x = chart_.area.right - 30.0;
    std::vector<std::string> lines = {
        say_(Word::settles, {say_.kelvin(f.settled.p50)}),
        say_(Word::between, {say_.number(f.settled.p05, 1), say_.kelvin(f.settled.p95)})};
    if (f.allowance != 0.0) {
      const Word word = f.allowance < 0.0 ? Word::allowance_down : Word::allowance;
      lines.push_back(say_(word, {say_.kelvin(f.furthest())}));
    }
    // Below the band: readings rise towards it in most logs, and leave that corner free.
    double y = chart_.py(f.settled.p05) + value_gap;
    const double low = chart_.area.bottom - line_pitch * static_cast<double>(lines.size());
    if (y > low) y = chart_.py(std::max(f.settled.p95, f.furthest())) - line_pitch * 1.5;
    for (const std::string& line : lines) {
      const Text text{line, x, y, Align::right, value_size, &line == &lines.front(), writing};
      std::vector<Candidate> all;
      for (int k = 0; k < 12; ++k) {
        Text moved = text;
        moved.y += k * 12.0;
        all.push_back({moved, 1.5 * k, {}});
      }
      const auto placed = labels.place(all, any_cost);
      if (!placed) continue;
      chart_.texts.push_back(placed->text);
      y = placed->text.y + line_pitch;
    }
  }

 private:
  double at(double seconds) const { return seconds / unit_; }
  static Look look(int colour, Emphasis emphasis) { return {colour, 0, 0, emphasis}; }

  Stretch step_of(const ReducedPoint& point) const {
    const std::vector<Rule>& begins = chart_.rules;
    const std::size_t i = point.step;
    const Area& area = chart_.area;
    const double left = i == 0 || i > begins.size() ? area.left : chart_.px(begins[i - 1].at);
    if (i < begins.size()) return {left, chart_.px(begins[i].at)};
    return {left, area.right - left < short_step ? page_right - 2.0 * overhang : area.right};
  }
  static bool inside(const Stretch& step, const Text& text) {
    const Box box = box_of(text);
    return box.left >= step.left - overhang && box.right <= step.right + overhang;
  }
  // The middle of the text nearest to x that keeps it inside.
  static double within(const Stretch& step, const Text& text, double x) {
    const Box box = box_of(text);
    const double half = (box.right - box.left) / 2.0;
    const double least = step.left + half, most = step.right - half;
    return least > most ? (least + most) / 2.0 : std::clamp(x, least, most);
  }

  std::string value_words(const ReducedPoint& point, Detail detail) const {
    const double half = half_95(point);
    const int decimals = half < 0.1 ? 2 : 1;
    const std::string value = say_.number(point.rise, decimals);
    const std::string words = detail == Detail::doubt  ? say_(Word::kelvin_with_doubt,
                                                              {value, say_.number(half, decimals)})
                              : detail == Detail::unit ? say_(Word::kelvin, {value})
                                                       : value;
    return point.held ? words : say_(Word::at_least, {words});
  }

  // The longest first.
  std::vector<std::string> remarks(const ReducedPoint& point) const {
    if (point.throttled) return {say_(Word::throttled)};
    if (point.settled) return {};
    const double creep = 60.0 * point.creep;
    const std::string number = say_.number(creep, std::abs(creep) < 0.1 ? 2 : 1);
    const std::string sign = creep > 0.0 ? "+" : "";
    return {say_(Word::creeping, {sign + number}), say_(Word::per_minute, {sign + number})};
  }

  Chart& chart_;
  const Speaker& say_;
  const Reduction* reduction_;
  const Forecast* forecast_;
  double unit_;
};

}  // namespace

double half_95(const ReducedPoint& point) { return expanded(point.budget, point.u); }

bool write_log(Chart& chart, const Speaker& say, const Reduction* reduction,
               const Forecast* forecast, double unit, Detail detail) {
  return Writer(chart, say, reduction, forecast, unit).write(detail);
}

}  // namespace libloop::report
