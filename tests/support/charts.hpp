// Pictures as tests look at them, and invented data to draw.
#pragma once

#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

#include "libloop/base/error.hpp"
#include "libloop/report/chart_text.hpp"
#include "libloop/report/pictures.hpp"
#include "support/told.hpp"

namespace libloop::testing {

using namespace libloop::report;

inline const Text* find(const Chart& chart, std::string_view words) {
  for (const Text& text : chart.texts) {
    if (text.words == words) return &text;
  }
  return nullptr;
}

inline bool told(const Chart& chart, std::string_view part) {
  for (const Text& text : chart.all_texts()) {
    if (has(text.words, part)) return true;
  }
  return false;
}

// No writing over other writing or off the page, none too small to read.
inline void check_writing(const Chart& chart) {
  const std::vector<Text> all = chart.all_texts();
  for (std::size_t i = 0; i < all.size(); ++i) {
    CAPTURE(all[i].words);
    CHECK(all[i].size >= smallest_text);
    CHECK(on_page(box_of(all[i])));
    for (std::size_t k = 0; k < i; ++k) {
      CAPTURE(all[k].words);
      CHECK_FALSE(overlap(box_of(all[i]), box_of(all[k])));
    }
  }
}

inline Code code_of(const auto& call) {
  try {
    call();
  } catch (const InputError& e) {
    return e.code();
  }
  FAIL("not refused");
  return Code::call;
}

// ---- rankings; all coolers invented

inline std::string title(int i) { return "Invented cooler " + std::to_string(i); }

// Cooler i at 40 + i K, own doubt 0.5 K; each its own group.
inline Ranking ranking(int coolers) {
  Ranking r;
  r.condition.load = 180.0;
  for (int i = 0; i < coolers; ++i) {
    RankedCooler row;
    row.title = title(i);
    row.short_name = "cooler " + std::to_string(i);
    row.value.value = 40.0 + i;
    row.value.u_own = 0.5;
    row.value.u_bench = 3.0;
    row.group = i + 1;
    r.rows.push_back(row);
  }
  return r;
}

// ---- rise against noise

// Curve i falls from 60 + 2 i K at 25 dBA to 40 + 2 i K at 45 dBA.
inline std::vector<NoiseCurve> curves(int n, double apart = 2.0) {
  std::vector<NoiseCurve> all;
  for (int i = 0; i < n; ++i) {
    NoiseCurve curve{title(i), "cooler " + std::to_string(i), {}};
    for (int k = 0; k <= 8; ++k) {
      const double share = k / 8.0;
      curve.points.push_back(
          {25.0 + 20.0 * share, 60.0 + apart * i - 20.0 * share, 0.4, k % 4 == 0});
    }
    all.push_back(curve);
  }
  return all;
}

// ---- logs; invented

struct Made {
  Log log;
  Reduction reduction;
  Forecast forecast;
};

// `steps` steps of `length` s at 90 and 180 W by turns; rise a quarter of the load.
inline Made made(int steps, int length, bool ambient = true) {
  Made m;
  Series chip{Channel::chip, "chip", {}, 0.0}, air{Channel::ambient, "air", {}, 0.0},
      load{Channel::load, "load", {}, 0.0}, fans{Channel::fan_share, "fans", {}, 0.0};
  for (int s = 0; s < steps; ++s) {
    const double watts = s % 2 == 0 ? 90.0 : 180.0, rise = watts / 4.0;
    const std::size_t begin = m.log.time.size();
    for (int i = 0; i < length; ++i) {
      m.log.time.push_back(static_cast<double>(m.log.time.size()));
      chip.values.push_back(295.0 + rise * (1.0 - std::exp(-i / 60.0)) + (i % 2 == 0 ? 0.1 : -0.1));
      air.values.push_back(295.0);
      load.values.push_back(watts);
      fans.values.push_back(1.0);
    }
    m.reduction.steps.push_back({begin, m.log.time.size(), ""});
    ReducedPoint point;
    point.step = static_cast<std::size_t>(s);
    point.end = m.log.time.back();
    point.start = point.end - 0.4 * length;
    point.rise = rise;
    point.u = 0.4;
    point.ambient = 295.0;
    point.settled = true;
    m.reduction.points.push_back(point);
  }
  m.log.series = {chip, load, fans};
  if (ambient) m.log.series.push_back(air);
  for (int i = 0; i <= 60; ++i) {
    m.forecast.times.push_back(length * i / 20.0);
    m.forecast.p05.push_back(40.0);
    m.forecast.p50.push_back(44.0);
    m.forecast.p95.push_back(46.0);
  }
  m.forecast.settled = {40.0, 44.0, 46.0, 44.0};
  return m;
}

}  // namespace libloop::testing
