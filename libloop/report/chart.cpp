#include "libloop/report/chart.hpp"

#include <cmath>

#include "libloop/base/error.hpp"
#include "libloop/report/chart_parts.hpp"

namespace libloop::report {
namespace {

constexpr double tick_gap = 16.0;        // px, between a tick's text and the plot
constexpr double below = 34.0;           // px, from the plot down to the texts of ticks
constexpr double axis_title_gap = 46.0;  // px, from there to the title of the axis
constexpr double y_title_lift = 34.0;    // px, from the plot up to the title of the y axis

void finite(double value) {
  if (!std::isfinite(value)) {
    refuse(Code::call, "a number of the chart is not finite", "Leave out what has no value.");
  }
}

void finite(const XY& point) {
  finite(point.x);
  finite(point.y);
}

void check(const Axis& axis) {
  finite(axis.low);
  finite(axis.high);
  for (const Tick& tick : axis.ticks) finite(tick.at);
  if (axis.low == axis.high) {
    refuse(Code::call, "an axis of the chart has no length", "Give it two different ends.");
  }
}

void check(const Band& band) {
  if (band.x.size() != band.low.size() || band.x.size() != band.high.size()) {
    refuse(Code::call, "the lists of a band have different lengths", "Give as many of each.");
  }
  for (const std::vector<double>* list : {&band.x, &band.low, &band.high}) {
    for (const double value : *list) finite(value);
  }
}

}  // namespace

double Chart::px(double at) const {
  return area.left + (at - x.low) / (x.high - x.low) * (area.right - area.left);
}

double Chart::py(double at) const {
  return area.bottom - (at - y.low) / (y.high - y.low) * (area.bottom - area.top);
}

std::vector<Text> Chart::all_texts() const {
  std::vector<Text> all = {title, subtitle};
  all.insert(all.end(), footnotes.begin(), footnotes.end());
  all.insert(all.end(), texts.begin(), texts.end());
  for (const Tick& tick : x.ticks) {
    all.push_back(
        {tick.text, px(tick.at), area.bottom + below, Align::middle, tick_size, false, {}});
  }
  for (const Tick& tick : y.ticks) {
    all.push_back(
        {tick.text, area.left - tick_gap, py(tick.at), Align::right, tick_size, false, {}});
  }
  all.push_back({x.title,
                 area.right,
                 area.bottom + below + axis_title_gap,
                 Align::right,
                 axis_size,
                 false,
                 {}});
  all.push_back({y.title, 60.0, area.top - y_title_lift, Align::left, axis_size, false, {}});
  std::erase_if(all, [](const Text& text) { return text.words.empty(); });
  return all;
}

void check(const Chart& chart) {
  check(chart.x);
  check(chart.y);
  for (const Band& band : chart.bands) check(band);
  for (const Span& span : chart.spans) finite({span.from, span.to});
  for (const Rule& rule : chart.rules) finite(rule.at);
  for (const Curve& curve : chart.curves) {
    for (const XY& point : curve.points) finite(point);
  }
  for (const Bar& bar : chart.bars) {
    finite(bar.from);
    finite(bar.to);
  }
  for (const Dot& dot : chart.dots) finite(dot.at);
  for (const Stroke& stroke : chart.strokes) {
    finite(stroke.from);
    finite(stroke.to);
  }
  for (const Bracket& b : chart.brackets) {
    finite({b.x, b.depth});
    finite({b.top, b.bottom});
  }
  for (const Text& text : chart.all_texts()) finite({text.x, text.y});
}

}  // namespace libloop::report
