#include "libloop/report/log_chart_trace.hpp"

#include <algorithm>
#include <cmath>

#include "libloop/quantity/unit.hpp"

namespace libloop::report {
namespace {

// Of the point whose window is nearest in time.
double nearest_ambient(const std::vector<ReducedPoint>& points, double time) {
  const auto away = [&](const ReducedPoint& p) { return std::abs((p.start + p.end) / 2.0 - time); };
  return std::min_element(
             points.begin(), points.end(),
             [&](const ReducedPoint& a, const ReducedPoint& b) { return away(a) < away(b); })
      ->ambient;
}

std::optional<double> median(const Log& log, Channel channel, const Step& step) {
  const Series* series = log.find(channel);
  if (series == nullptr) return std::nullopt;
  std::vector<double> values;
  for (std::size_t i = step.begin; i < std::min(step.end, series->values.size()); ++i) {
    if (is_reading(series->values[i])) values.push_back(series->values[i]);
  }
  if (values.empty()) return std::nullopt;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

// The setting of a step in whole units: what flickers by less is one setting.
struct Setting {
  double value = 0.0;
  std::string words;  // empty: not known
};
using Settings = Setting (*)(const Log& log, const Step& step, const Speaker& say);

Setting load_of(const Log& log, const Step& step, const Speaker& say) {
  std::optional<double> load = median(log, Channel::preset, step);
  if (!load) load = median(log, Channel::load, step);
  if (!load) return {};
  return {*load, say(Word::watt, {say.number(*load, 0)})};
}

Setting speed_of(const Log& log, const Step& step, const Speaker& say, Channel share,
                 Channel speed) {
  if (const auto part = median(log, share, step)) {
    return {*part, say(Word::percent, {say.number(100.0 * *part, 0)})};
  }
  constexpr double grain = 10.0;  // rpm
  if (const auto turns = median(log, speed, step)) {
    const double round = grain * std::round(to_unit(*turns, "rpm") / grain);
    return {*turns, say(Word::speed, {say.number(round, 0)})};
  }
  return {};
}

Setting fans_of(const Log& log, const Step& step, const Speaker& say) {
  return speed_of(log, step, say, Channel::fan_share, Channel::fan_speed);
}

Setting pump_of(const Log& log, const Step& step, const Speaker& say) {
  return speed_of(log, step, say, Channel::pump_share, Channel::pump_speed);
}

SetRow row_of(const Log& log, const std::vector<Step>& steps, const Speaker& say, Word name,
              Settings settings) {
  SetRow row{say(name), {}, {}};
  Setting lowest, highest;
  for (const Step& step : steps) {
    if (step.begin >= log.time.size()) break;
    const std::size_t last = std::min(step.end, log.time.size() - 1);
    const Setting set = settings(log, step, say);
    if (!set.words.empty()) {
      if (lowest.words.empty() || set.value < lowest.value) lowest = set;
      if (highest.words.empty() || set.value > highest.value) highest = set;
    }
    if (!row.stretches.empty() && row.stretches.back().words == set.words) {
      row.stretches.back().to = log.time[last];
    } else {
      row.stretches.push_back({log.time[step.begin], log.time[last], set.words});
    }
  }
  std::erase_if(row.stretches, [](const SetStretch& s) { return s.words.empty(); });
  row.range = lowest.words == highest.words ? lowest.words
                                            : say(Word::between, {lowest.words, highest.words});
  return row;
}

}  // namespace

Trace trace_of(const Log& log, const Reduction* reduction, std::optional<double> ambient) {
  Trace trace;
  const Series* chip = log.find(Channel::chip);
  if (chip == nullptr) return trace;
  const Series* column = log.find(Channel::ambient);
  const bool points = reduction != nullptr && !reduction->points.empty();
  trace.rise = column != nullptr || ambient || points;
  double last = no_reading;
  if (column != nullptr) {
    for (const double value : column->values) {
      if (is_reading(value)) {
        last = value;
        break;
      }
    }
    if (!is_reading(last)) column = nullptr;
  }
  if (column == nullptr) trace.rise = ambient || points;
  const double zero_celsius = from_unit(0.0, "C");
  for (std::size_t i = 0; i < std::min(log.time.size(), chip->values.size()); ++i) {
    if (column != nullptr && is_reading(column->values[i])) last = column->values[i];
    if (!is_reading(chip->values[i])) continue;
    const double from = column != nullptr ? last
                        : ambient         ? *ambient
                        : points          ? nearest_ambient(reduction->points, log.time[i])
                                          : zero_celsius;
    trace.points.push_back({log.time[i], chip->values[i] - from});
  }
  if (!trace.points.empty()) trace.first = trace.points.front().x;
  return trace;
}

std::vector<XY> thinned(const std::vector<XY>& points, int columns) {
  if (points.size() <= 2 * static_cast<std::size_t>(columns)) return points;
  const double begin = points.front().x, length = points.back().x - begin;
  std::vector<XY> out;
  for (std::size_t i = 0; i < points.size();) {
    // The last reading belongs to the last stretch.
    const double column =
        std::min(std::floor((points[i].x - begin) / length * columns), columns - 1.0);
    const bool last = column == columns - 1.0;
    const double end = begin + (column + 1.0) / columns * length;
    std::size_t low = i, high = i, next = i + 1;
    for (; next < points.size() && (last || points[next].x < end); ++next) {
      if (points[next].y < points[low].y) low = next;
      if (points[next].y > points[high].y) high = next;
    }
    out.push_back(points[std::min(low, high)]);
    if (low != high) out.push_back(points[std::max(low, high)]);
    i = next;
  }
  return out;
}

std::vector<SetRow> set_rows(const Log& log, const std::vector<Step>& steps, const Speaker& say) {
  std::vector<SetRow> rows;
  rows.push_back(row_of(log, steps, say, Word::load, load_of));
  rows.push_back(row_of(log, steps, say, Word::fans, fans_of));
  SetRow pump = row_of(log, steps, say, Word::pump, pump_of);
  if (pump.stretches.size() > 1) rows.push_back(std::move(pump));
  std::erase_if(rows, [](const SetRow& row) { return row.stretches.empty(); });
  return rows;
}

}  // namespace libloop::report
