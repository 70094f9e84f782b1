#include "libloop/report/log_chart_writing.hpp"

#include <algorithm>
#include <cmath>

#include "libloop/report/chart_labels.hpp"

namespace libloop::report {
namespace {

constexpr double to_95 = 1.645;      // standard deviations of a normal quantity
constexpr double value_size = 30.0;  // px, of writing
constexpr double value_gap = 34.0;   // px, from what is named
constexpr double line_pitch = 40.0;  // px
// What a text may hide, in points of curves; judgement.
constexpr double few_crossings = 9.5, any_cost = 1e9;

class Writer {
 public:
  Writer(Chart& chart, const Speaker& say, const Reduction* reduction, const Forecast* forecast,
         double unit)
      : chart_(chart), say_(say), reduction_(reduction), forecast_(forecast), unit_(unit) {}

  bool write(bool with_doubt) {
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
      all = write_value(labels, point, with_doubt) && all;
    }
    return all;
  }

  bool write_value(Labels& labels, const ReducedPoint& point, bool with_doubt) {
    const double middle = chart_.px(at((point.start + point.end) / 2.0)), y = chart_.py(point.rise);
    const double half = std::abs(chart_.py(point.rise + to_95 * point.u) - y);
    const Text value{value_words(point, with_doubt),
                     middle,
                     y,
                     Align::middle,
                     value_size,
                     point.settled && point.held,
                     look(mean_colour, Emphasis::plain)};
    if (!place(labels, value, value_gap + half, with_doubt ? few_crossings : any_cost)) {
      return false;
    }
    const std::string note = remark(point);
    if (note.empty()) return true;
    Text beyond = chart_.texts.back();
    beyond.words = note;
    beyond.size = smallest_text;
    beyond.bold = false;
    const double away = beyond.y < y ? -line_pitch : line_pitch;
    std::vector<Candidate> all;
    for (const double lines : {1.0, 2.0, -1.0, 3.0, -2.0, 4.0}) {
      Text moved = beyond;
      moved.y += lines * away;
      all.push_back({moved, 20.0 * std::abs(lines - 1.0), {}});
    }
    if (const auto found = labels.place(all, any_cost)) chart_.texts.push_back(found->text);
    return true;
  }

  // Above or below, straight or to either side: rather to the left, where its own step still is.
  bool place(Labels& labels, const Text& text, double away, double limit) {
    std::vector<Candidate> all;
    for (const double side : {-1.0, 1.0}) {
      for (const double further : {1.0, 1.6, 2.4}) {
        for (const double shift : {0.0, -30.0, 30.0, -60.0, 60.0, -90.0, 90.0}) {
          Text moved = text;
          moved.x += shift;
          moved.y += side * further * away;
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
    if (f.allowance > 0.0) {
      lines.push_back(say_(Word::allowance, {say_.kelvin(f.settled.p95 + f.allowance)}));
    }
    // Below the fan: readings rise towards it in most logs, and leave that corner free.
    double y = chart_.py(f.settled.p05) + value_gap;
    const double low = chart_.area.bottom - line_pitch * static_cast<double>(lines.size());
    if (y > low) y = chart_.py(f.settled.p95 + f.allowance) - line_pitch * 1.5;
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

  std::string value_words(const ReducedPoint& point, bool with_doubt) const {
    const int decimals = point.u < 0.1 ? 2 : 1;
    const std::string value = say_.number(point.rise, decimals);
    const std::string words =
        with_doubt ? say_(Word::kelvin_with_doubt, {value, say_.number(point.u, decimals)})
                   : say_(Word::kelvin, {value});
    return point.held ? words : say_(Word::at_least, {words});
  }

  std::string remark(const ReducedPoint& point) const {
    if (point.throttled) return say_(Word::throttled);
    if (point.settled) return "";
    const double creep = 60.0 * point.creep;
    const std::string number = say_.number(creep, std::abs(creep) < 0.1 ? 2 : 1);
    return say_(Word::creeping, {creep > 0.0 ? "+" + number : number});
  }

  Chart& chart_;
  const Speaker& say_;
  const Reduction* reduction_;
  const Forecast* forecast_;
  double unit_;
};

}  // namespace

bool write_log(Chart& chart, const Speaker& say, const Reduction* reduction,
               const Forecast* forecast, double unit, bool with_doubt) {
  return Writer(chart, say, reduction, forecast, unit).write(with_doubt);
}

}  // namespace libloop::report
