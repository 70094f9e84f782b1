#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "libloop/quantity/unit.hpp"
#include "libloop/report/log_chart_trace.hpp"
#include "libloop/report/palette.hpp"
#include "libloop/report/pictures.hpp"
#include "support/charts.hpp"

namespace libloop::report {
namespace {

using namespace testing;

TEST_CASE("a log shows its rise, what was set, and the means of its windows") {
  const Made m = made(4, 600);
  const Chart chart = log_chart(m.log, &m.reduction);
  CHECK(chart.rules.size() == 3);
  CHECK(chart.rules.front().at == doctest::Approx(10.0));  // min
  CHECK(find(chart, "90 W") != nullptr);
  CHECK(find(chart, "180 W") != nullptr);
  CHECK(find(chart, "100 %") != nullptr);
  CHECK(std::count_if(chart.texts.begin(), chart.texts.end(),
                      [](const Text& t) { return t.words == "100 %"; }) == 1);  // set once
  REQUIRE(chart.spans.size() == 4);
  CHECK(chart.spans[0].from == doctest::Approx(359.0 / 60.0));
  CHECK(chart.spans[0].to == doctest::Approx(599.0 / 60.0));
  // 95 % as in the text: twice 1.96 standard deviations of the normal (ISO/IEC Guide 98-3, table
  // G.1, from memory).
  CHECK(find(chart, "45.0 ± 0.8 K") != nullptr);
  REQUIRE(chart.bands.size() == 4);
  CHECK(chart.bands[0].high[0] - chart.bands[0].low[0] == doctest::Approx(2 * 1.96 * 0.4));
  CHECK(told(chart, "±: 95 %"));
  CHECK_FALSE(told(chart, "Dashed"));
  CHECK(has(chart.y.title, "Rise"));
  CHECK(chart.x.title == "Time, min");
  check_writing(chart);
}

TEST_CASE("creep, throttling and bounds are told beside their value") {
  Made m = made(3, 1200);
  m.reduction.points[0].settled = false;
  m.reduction.points[0].creep = 0.3 / 60.0;
  m.reduction.points[1].held = false;
  m.reduction.points[1].throttled = true;
  const Chart chart = log_chart(m.log, &m.reduction);
  CHECK(find(chart, "creeping +0.3 K/min") != nullptr);
  CHECK(find(chart, "power sags") != nullptr);
  CHECK(find(chart, "≥ 45.0 ± 0.8 K") != nullptr);
  check_writing(chart);
}

TEST_CASE("± has the degrees of freedom of the point's own budget") {
  Made m = made(2, 600);
  // Student's t of 4 degrees of freedom at 97.5 %: 2.776 (table of any handbook of statistics).
  for (ReducedPoint& point : m.reduction.points) {
    Contribution one;
    one.u = point.u;
    one.freedom = 4.0;
    point.budget = {one};
  }
  const Chart chart = log_chart(m.log, &m.reduction);
  CHECK(find(chart, "45.0 ± 1.1 K") != nullptr);
  CHECK(chart.bands[1].high[0] - 45.0 == doctest::Approx(2.776 * 0.4).epsilon(1e-3));
}

TEST_CASE("a window that has not settled is not shaded, and dashed") {
  Made m = made(3, 1200);
  m.reduction.points[1].settled = false;
  m.reduction.points[1].creep = 0.3 / 60.0;
  const Chart chart = log_chart(m.log, &m.reduction);
  REQUIRE(chart.spans.size() == 2);
  for (const Span& span : chart.spans) CHECK((span.to < 20.0 || span.from > 40.0));  // min
  CHECK(told(chart, "Shaded: steady windows"));
  CHECK(told(chart, "Dashed: not settled."));
  REQUIRE(chart.curves.size() == 4);
  CHECK(chart.curves[2].look.dash != 0);
  CHECK(chart.curves[1].look.dash == 0);
  for (ReducedPoint& point : m.reduction.points) point.settled = false;
  CHECK_FALSE(told(log_chart(m.log, &m.reduction), "Shaded"));
}

TEST_CASE("many steps: a value stands over its own step or not at all") {
  for (const int steps : {5, 9, 14, 30, 60}) {
    CAPTURE(steps);
    Made m = made(steps, 300);
    for (std::size_t s = 0; s < m.reduction.points.size(); ++s) {
      m.reduction.points[s].rise = 20.0 + 0.1 * static_cast<double>(s);  // none alike
    }
    m.reduction.points[2].settled = false;
    m.reduction.points[2].creep = 0.3 / 60.0;
    const Chart chart = log_chart(m.log, &m.reduction);
    check_writing(chart);
    int written = 0;
    for (const ReducedPoint& point : m.reduction.points) {
      const std::string number = std::to_string(point.rise).substr(0, 4);
      for (const Text& text : chart.texts) {
        if (!has(text.words, number)) continue;
        ++written;
        CHECK(box_of(text).left > chart.px(static_cast<double>(point.step) * 5.0) - 12.0);
        if (point.step + 1 < m.reduction.points.size()) {
          CHECK(box_of(text).right < chart.px(static_cast<double>(point.step + 1) * 5.0) + 12.0);
        }
      }
    }
    CHECK(written <= steps);
    if (steps <= 30) CHECK(written > steps / 2);
    CHECK((written < steps) == told(chart, "without room"));
    // A row of settings is never empty.
    CHECK((find(chart, "90 W") != nullptr) != (find(chart, "90 W to 180 W") != nullptr));
    CHECK(find(chart, "100 %") != nullptr);
  }
}

TEST_CASE("many steps: writing without room is left out, never over other writing") {
  for (const int steps : {9, 20, 60}) {
    CAPTURE(steps);
    const Made m = made(steps, 300);
    check_writing(log_chart(m.log, &m.reduction, &m.forecast));
  }
}

TEST_CASE("a forecast is a band from now to where it settles") {
  Made m = made(2, 600);
  m.forecast.allowance = 1.5;
  m.reduction.points.pop_back();
  const Chart chart = log_chart(m.log, &m.reduction, &m.forecast);
  REQUIRE(chart.bands.size() == 2);
  const Band& band = chart.bands.back();
  CHECK(band.x.front() >= 600.0 / 60.0);
  CHECK(band.x.back() > m.log.time.back() / 60.0);
  CHECK(band.low.front() == 40.0);
  CHECK(band.high.front() == 46.0);
  CHECK(find(chart, "settles at 44.0 K") != nullptr);
  CHECK(find(chart, "40.0 to 46.0 K") != nullptr);
  CHECK(find(chart, "up to 47.5 K with slow parts") != nullptr);
  CHECK(chart.y.high > 47.5);
  CHECK(std::any_of(chart.bars.begin(), chart.bars.end(), [](const Bar& bar) {
    return bar.open && bar.from.y == 46.0 && bar.to.y == 47.5;
  }));
  check_writing(chart);
}

TEST_CASE("without an ambient the chip's temperature is drawn, and no forecast of a rise") {
  const Made m = made(1, 600, false);
  Reduction none;
  none.steps = m.reduction.steps;
  Chart chart = log_chart(m.log, &none, &m.forecast);
  CHECK(has(chart.y.title, "°C"));
  CHECK(chart.bands.empty());
  CHECK(chart.curves.front().points.back().y ==
        doctest::Approx(295.0 - 273.15 + 22.4).epsilon(0.01));
  PictureOptions options;
  options.ambient = 295.0;
  chart = log_chart(m.log, &none, &m.forecast, options);
  CHECK(has(chart.y.title, "Rise"));
  CHECK(chart.bands.size() == 1);
}

TEST_CASE("a long log is drawn by the lowest and highest of each pixel") {
  std::vector<XY> points;
  for (int i = 0; i < 100000; ++i)
    points.push_back({i * 1.0, i == 51234 ? 9.0 : std::sin(0.01 * i)});
  const std::vector<XY> few = thinned(points, 500);
  CHECK(few.size() <= 1000);
  CHECK(few.front().x == 0.0);
  CHECK(std::count_if(few.begin(), few.end(), [](const XY& p) { return p.y == 9.0; }) == 1);
  CHECK(std::is_sorted(few.begin(), few.end(), [](const XY& a, const XY& b) { return a.x < b.x; }));
  CHECK(thinned({{0, 1}, {1, 2}}, 500).size() == 2);
}

TEST_CASE("a log with gaps, one row, or nothing to draw") {
  Made m = made(1, 600);
  for (std::size_t i = 100; i < 200; ++i) m.log.series[0].values[i] = no_reading;
  for (std::size_t i = 0; i < 50; ++i) m.log.series[3].values[i] = no_reading;
  check_writing(log_chart(m.log, &m.reduction));
  m = made(1, 1);
  m.reduction.points.clear();
  check_writing(log_chart(m.log, &m.reduction));
  CHECK(code_of([] { log_chart(Log{}); }) == Code::missing);
  Log log;
  log.time = {0.0};
  const Reduction none;
  CHECK(code_of([&] { log_chart(log, &none); }) == Code::missing);
}

}  // namespace
}  // namespace libloop::report
