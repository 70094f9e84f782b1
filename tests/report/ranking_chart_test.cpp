#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "libloop/quantity/unit.hpp"
#include "libloop/report/palette.hpp"
#include "libloop/report/pictures.hpp"
#include "support/charts.hpp"

namespace libloop::report {
namespace {

using namespace testing;

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

}  // namespace
}  // namespace libloop::report
