#include "libloop/report/pictures.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/error.hpp"
#include "libloop/quantity/unit.hpp"
#include "libloop/report/chart_text.hpp"
#include "libloop/report/log_chart_trace.hpp"
#include "libloop/report/palette.hpp"

namespace libloop::report {
namespace {

bool has(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

const Text* find(const Chart& chart, std::string_view words) {
  for (const Text& text : chart.texts) {
    if (text.words == words) return &text;
  }
  return nullptr;
}

bool told(const Chart& chart, std::string_view part) {
  for (const Text& text : chart.all_texts()) {
    if (has(text.words, part)) return true;
  }
  return false;
}

// No writing over other writing or off the page, none too small to read.
void check_writing(const Chart& chart) {
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

Code code_of(const auto& call) {
  try {
    call();
  } catch (const InputError& e) {
    return e.code();
  }
  FAIL("not refused");
  return Code::call;
}

// ---- rankings; all coolers invented

std::string title(int i) { return "Invented cooler " + std::to_string(i); }

// Cooler i at 40 + i K, own doubt 0.5 K; each its own group.
Ranking ranking(int coolers) {
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

TEST_CASE("a ranking has a dot and a bar from 5 to 95 % of the own doubt in each row") {
  const Chart chart = ranking_chart(ranking(3));
  REQUIRE(chart.dots.size() == 3);
  REQUIRE(chart.bars.size() == 3);
  for (std::size_t i = 0; i < 3; ++i) {
    const double value = 40.0 + static_cast<double>(i), row = static_cast<double>(i) + 1.0;
    CHECK(chart.dots[i].at == XY{value, row});
    CHECK_FALSE(chart.dots[i].hollow);
    CHECK(chart.bars[i].from.x == doctest::Approx(value - 1.645 * 0.5));
    CHECK(chart.bars[i].to.x == doctest::Approx(value + 1.645 * 0.5));
    // Name and value stand in the row of the dot.
    const Text* name = find(chart, "cooler " + std::to_string(i));
    REQUIRE(name != nullptr);
    CHECK(name->y == doctest::Approx(chart.py(row)));
    CHECK(name->x < chart.area.left);
  }
  CHECK(find(chart, "41.0 K") != nullptr);
  CHECK(chart.brackets.empty());
  CHECK_FALSE(told(chart, "Bracket"));
  CHECK(chart.x.low < 40.0 - 0.8);
  CHECK(chart.x.high > 42.0 + 0.8);
  CHECK(has(chart.title.words, "180 W"));
  check_writing(chart);
}

TEST_CASE("rows that are not told apart share a bracket") {
  Ranking r = ranking(6);
  for (std::size_t i : {1u, 2u, 3u}) r.rows[i].group = 2;
  r.rows[5].group = r.rows[4].group;
  const Chart chart = ranking_chart(r);
  REQUIRE(chart.brackets.size() == 2);
  CHECK(chart.brackets[0].top < chart.py(2.0));
  CHECK(chart.brackets[0].top > chart.py(1.0));
  CHECK(chart.brackets[0].bottom > chart.py(4.0));
  CHECK(chart.brackets[0].bottom < chart.brackets[1].top);
  CHECK(told(chart, "Bracket"));
}

TEST_CASE("a group goes on over those left out of the picture") {
  Ranking r = ranking(8);
  for (std::size_t i = 1; i < 8; ++i) r.rows[i].group = 2;
  PictureOptions options;
  options.best = 2;
  options.pinned = {title(7)};
  const Chart chart = ranking_chart(r, options);
  CHECK(chart.dots.size() == 3);
  CHECK(told(chart, "and 5 more"));
  REQUIRE(chart.brackets.size() == 1);
  CHECK(chart.brackets[0].bottom > chart.py(4.0));
}

TEST_CASE("the cooler under test is strong, pinned ones are kept, the rest is muted and cut") {
  PictureOptions options;
  options.under_test = title(20);
  options.pinned = {title(30)};
  options.best = 5;
  const Chart chart = ranking_chart(ranking(40), options);
  REQUIRE(chart.dots.size() == 7);
  int muted = 0;
  for (const Dot& dot : chart.dots) {
    if (dot.at.x == 60.0) {
      CHECK(dot.look.emphasis == Emphasis::strong);
    } else if (dot.at.x == 70.0) {
      CHECK(dot.look.emphasis == Emphasis::plain);
    } else {
      CHECK(dot.at.x < 45.0);
      CHECK(dot.look.emphasis == Emphasis::muted);
      ++muted;
    }
  }
  CHECK(muted == 5);
  for (const char* gap : {"and 15 more", "and 9 more"}) CHECK(told(chart, gap));
  CHECK(find(chart, "cooler 20")->bold);
  CHECK_FALSE(find(chart, "cooler 30")->bold);
  check_writing(chart);
  // With nobody to stress, nobody is muted.
  for (const Dot& dot : ranking_chart(ranking(4)).dots) CHECK(dot.look.emphasis == Emphasis::plain);
}

TEST_CASE("as many rows as can be read, however many are asked for") {
  PictureOptions options;
  options.best = 1000;
  const Chart chart = ranking_chart(ranking(300), options);
  CHECK(chart.dots.size() > 10);
  CHECK(told(chart, "and " + std::to_string(300 - chart.dots.size()) + " more"));
  check_writing(chart);
  for (int i = 0; i < 60; ++i) options.pinned.push_back(title(i));
  CHECK(code_of([&] { ranking_chart(ranking(300), options); }) == Code::call);
}

TEST_CASE("bounds are open to the side where the truth lies, and hollow") {
  Ranking r = ranking(3);
  r.rows[1].value.bound = true;
  r.rows[2].value.beyond = true;
  Chart chart = ranking_chart(r);
  const auto open = [](const Chart& c) {
    return *std::find_if(c.bars.begin(), c.bars.end(), [](const Bar& b) { return b.open; });
  };
  CHECK(open(chart).to.x > 41.0);
  CHECK(find(chart, "≥ 41.0 K") != nullptr);
  CHECK_FALSE(chart.dots[0].hollow);
  CHECK(chart.dots[1].hollow);
  CHECK(chart.dots[2].hollow);
  CHECK(told(chart, "Arrow"));
  // A noise is at most what was read.
  r.condition.rise = 45.0;
  chart = ranking_chart(r);
  CHECK(open(chart).to.x < 41.0);
  CHECK(find(chart, "≤ 41.0 dBA") != nullptr);
  CHECK(has(chart.title.words, "Noise"));
}

TEST_CASE("the subtitle says what was held equal") {
  Ranking r = ranking(2);
  const auto subtitle = [&] { return ranking_chart(r).subtitle.words; };
  CHECK(has(subtitle(), "fastest measured speed"));
  r.condition.fan_share = 0.6;
  CHECK(has(subtitle(), "fans at 60 %"));
  r.condition.fan_share.reset();
  r.condition.fan_speed = from_unit(1200.0, "rpm");
  CHECK(has(subtitle(), "fans at 1200 rpm"));
  r.condition.fan_speed.reset();
  r.condition.level = 35.5;
  CHECK(has(subtitle(), "equal noise of 35.5 dBA"));
  r.condition.level.reset();
  r.condition.rise = 45.0;
  CHECK(has(subtitle(), "equal rise of 45 K"));
}

TEST_CASE("words and decimal mark are those of the language") {
  Ranking r = ranking(2);
  r.condition.level = 35.5;
  PictureOptions options;
  options.language = Language::german;
  Chart chart = ranking_chart(r, options);
  CHECK(find(chart, "40,0 K") != nullptr);
  CHECK(has(chart.subtitle.words, "35,5 dB(A)"));
  CHECK(has(chart.x.title, "Übertemperatur"));
  options.decimal_mark = '.';
  CHECK(find(ranking_chart(r, options), "40.0 K") != nullptr);
  options.decimal_mark = ';';
  CHECK(code_of([&] { ranking_chart(r, options); }) == Code::call);
}

TEST_CASE("long names, odd numbers of coolers and notes leave no writing over writing") {
  for (const int n : {1, 2, 3, 7, 13, 40}) {
    CAPTURE(n);
    Ranking r = ranking(n);
    for (RankedCooler& row : r.rows) {
      row.short_name = "WWWWWWWWWWWWWWWWWW WWWWWWWWWWWWWWWWWWWW " + row.title;
      row.value.bound = row.value.beyond = row.predicted = true;
    }
    PictureOptions options;
    options.title = std::string(300, 'M');
    for (int k = 0; k < 40; ++k) options.note += "a long note ";
    options.under_test = title(n - 1);
    for (const Language language : {Language::english, Language::german}) {
      options.language = language;
      check_writing(ranking_chart(r, options));
    }
  }
}

TEST_CASE("a cooler that is not there is refused, with the one that was meant") {
  PictureOptions options;
  options.under_test = "Invented coler 1";
  try {
    ranking_chart(ranking(3), options);
    FAIL("not refused");
  } catch (const InputError& e) {
    CHECK(e.code() == Code::unknown);
    CHECK(e.problems().front().suggestion == "Did you mean 'Invented cooler 1'?");
  }
  // In the table, but without a value here: told, not refused.
  options.under_test = "Invented stranger";
  options.titles = {"Invented stranger"};
  CHECK(told(ranking_chart(ranking(3), options), "No value here: Invented stranger."));
  options = {};
  for (const int none : {-1, 0}) {
    options.best = none;
    CHECK(code_of([&] { ranking_chart(ranking(3), options); }) == Code::call);
  }
  CHECK(code_of([] { ranking_chart(Ranking{}); }) == Code::missing);
}

// ---- rise against noise

// Curve i falls from 60 + 2 i K at 25 dBA to 40 + 2 i K at 45 dBA.
std::vector<NoiseCurve> curves(int n, double apart = 2.0) {
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

TEST_CASE("rise against noise: a line a cooler, dots with intervals where measured, names at it") {
  const Chart chart = noise_chart(curves(4), 180.0);
  CHECK(chart.curves.size() == 4);
  CHECK(chart.dots.size() == 12);
  REQUIRE(chart.bars.size() == 12);
  CHECK(chart.bars.front().to.y - chart.bars.front().from.y == doctest::Approx(2 * 1.645 * 0.4));
  CHECK(chart.curves.front().points.size() == 9);
  for (int i = 0; i < 4; ++i) CHECK(find(chart, "cooler " + std::to_string(i)) != nullptr);
  CHECK(has(chart.title.words, "180 W"));
  check_writing(chart);
}

TEST_CASE("a line in the picture always has its name; who found no room is told") {
  PictureOptions options;
  options.under_test = title(7);
  options.pinned = {title(33)};
  for (const double apart : {0.02, 0.3, 2.0}) {
    CAPTURE(apart);
    const Chart chart = noise_chart(curves(40, apart), 180.0, options);
    CHECK(chart.curves.size() == chart.texts.size());
    CHECK(find(chart, "cooler 7") != nullptr);
    CHECK(find(chart, "cooler 33") != nullptr);
    CHECK(find(chart, "cooler 7")->bold);
    CHECK(told(chart, "And 26 more"));
    if (chart.curves.size() < 14) CHECK(told(chart, "want of room"));
    check_writing(chart);
  }
}

TEST_CASE("a predicted cooler has hollow dots in rise against noise") {
  std::vector<NoiseCurve> all = curves(2);
  CHECK_FALSE(told(noise_chart(all, 180.0), "Hollow"));
  for (NoiseCurve::At& at : all[1].points) at.predicted = true;
  const Chart chart = noise_chart(all, 180.0);
  CHECK(told(chart, "Hollow: predicted."));
  REQUIRE(chart.dots.size() == 6);
  for (std::size_t i = 0; i < 6; ++i) CHECK(chart.dots[i].hollow == (i >= 3));
}

TEST_CASE("every cooler of the table is drawn, named or counted in rise against noise") {
  PictureOptions options;
  for (int i = 0; i < 60; ++i) options.titles.push_back(title(i));
  const Chart few = noise_chart(curves(58), 180.0, options);
  CHECK(told(few, "No value here: Invented cooler 58, Invented cooler 59."));
  CHECK(told(few, "And 46 more"));
  const Chart many = noise_chart(curves(3), 180.0, options);
  int named = 0;
  for (int i = 3; i < 60; ++i) {
    named += told(many, title(i) + ",") || told(many, title(i) + " and") ? 1 : 0;
  }
  CHECK(named > 3);
  CHECK(told(many, " and " + std::to_string(57 - named) + " more."));
  check_writing(many);
}

TEST_CASE("the best of the rest are those with the lowest rise") {
  std::vector<NoiseCurve> all = curves(10);
  std::reverse(all.begin(), all.end());
  PictureOptions options;
  options.best = 2;
  const Chart chart = noise_chart(all, 180.0, options);
  CHECK(chart.curves.size() == 2);
  CHECK(find(chart, "cooler 0") != nullptr);
  CHECK(find(chart, "cooler 1") != nullptr);
}

TEST_CASE("a cooler keeps its colour in every picture of one table") {
  PictureOptions options;
  for (int i = 0; i < 40; ++i) options.titles.push_back(title(i));
  options.best = 40;
  const Chart a = noise_chart(curves(5), 180.0, options);
  const Chart b = ranking_chart(ranking(9), options);
  for (std::size_t i = 0; i < 5; ++i) {
    CHECK(a.curves[i].look.colour == b.dots[i].look.colour);
    CHECK(a.curves[i].look.shape == b.dots[i].look.shape);
  }
}

TEST_CASE("one point is a picture, none is not") {
  std::vector<NoiseCurve> one = curves(1);
  one.front().points.resize(1);
  check_writing(noise_chart(one, 180.0));
  one.front().points.clear();
  CHECK(code_of([&] { noise_chart(one, 180.0); }) == Code::missing);
  CHECK(code_of([] { noise_chart({}, 180.0); }) == Code::missing);
  PictureOptions options;
  options.best = 0;
  CHECK(code_of([&] { noise_chart(curves(3), 180.0, options); }) == Code::call);
}

// ---- logs; invented

struct Made {
  Log log;
  Reduction reduction;
  Forecast forecast;
};

// `steps` steps of `length` s at 90 and 180 W by turns; rise a quarter of the load.
Made made(int steps, int length, bool ambient = true) {
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

TEST_CASE("every picture is drawn, names as they are") {
  const std::string odd = "<b>\"100 %\" `x` $y_z^2 @w {v} \\";
  Ranking r = ranking(2);
  r.rows[0].short_name = odd;
  CHECK(has(svg(ranking_chart(r)), "&lt;b"));
  std::vector<NoiseCurve> all = curves(2);
  all[0].short_name = odd;
  CHECK(has(svg(noise_chart(all, 180.0)), "&lt;b"));
  const Made m = made(2, 600);
  PictureOptions options;
  options.under_test = odd;
  CHECK(has(svg(log_chart(m.log, &m.reduction, &m.forecast, options)), "&lt;b"));
}

}  // namespace
}  // namespace libloop::report
