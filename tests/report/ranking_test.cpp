#include "libloop/report/ranking.hpp"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "libloop/base/text.hpp"
#include "libloop/report/ranking_words.hpp"
#include "libloop/report/table.hpp"
#include "support/told.hpp"

namespace libloop::report {
namespace {

using testing::has, testing::joined;

using Json = nlohmann::json;

RankedCooler cooler(const std::string& title, double rise, int group) {
  RankedCooler one;
  one.title = title;
  one.short_name = title.substr(0, 18);
  one.value = {rise, 0.4, 0.8, false, false};
  one.rise = one.value;
  one.level = Valued{32.0, 0.6, 0.5, false, false};
  one.fan_share = 1.0;
  one.group = group;
  one.points = 12;
  one.mounts = 3;
  return one;
}

ToldRanking invented() {
  ToldRanking told;
  Ranking& r = told.ranking;
  r.condition.load = 180.0;
  r.rows = {cooler("Invented 360", 31.25, 1), cooler("Invented 280", 31.75, 1),
            cooler("Invented tower, heavy, with two fans and a long name", 41.0, 2)};
  r.rows[0].price = "129 EUR";
  r.rows[0].kelvin_per_price = 0.244;
  r.rows[2].price = "89 EUR";
  r.rows[1].predicted = true;
  r.rows[2].notes = {"read 4 % beyond its points"};
  r.ties = {{"Invented 360", "Invented 280", 0.5, 0.56, false, 5},
            {"Invented 280", r.rows[2].title, 9.25, 0.57, true, std::nullopt}};
  r.states = {{"2026-01-31", 1.0, 0.0, 4}, {"2026-03-02", 1.021, 0.004, 4}};
  r.alike = {{0, 1}};
  r.rows[0].like = {1};
  r.rows[1].like = {0};
  r.mount_scatter = 0.021;
  r.mount_freedom = 14.0;
  r.left_out = {{1, "Invented 120: no point near 180 W"}};
  r.notes = {"a note"};
  told.tables = {{"coolers.csv", 36, {{2, "no rise (lines 4 and 9)"}}, {"Dates are day-first."}}};
  return told;
}

TEST_CASE("the text opens with the best and who is not told apart from it") {
  const ToldRanking told = invented();
  const std::string all = text(told), flat = joined(all);
  CHECK(joined(all.substr(0, all.find("\n\n"))) ==
        "At 180 W and the fastest fans measured, Invented 360 is the coolest of 3 coolers: 31.2 K "
        "(30.6 to 31.9 K, 5-95 %); not told apart from it: Invented 280.");
  for (const char* part :
       {"At 180 W and the fastest fans measured (like: ranks it is not told apart from)",
        "1 1 1-2 Invented 360", "predicted", "129 EUR", "0.24", "Invented tower, he",
        "Ties between neighbours", "Invented 360 Invented 280 0.5 0.56 5",
        "States of the bench, by the reference cooler", "1.0210",
        "one mounting to the next: 2.1 % of the rise, from the repeated mountings (14 degrees",
        "Invented 120: no point near 180 W.", "read 4 % beyond its points.",
        "no rise (lines 4 and 9).", "Dates are day-first.",
        "The bench itself may be off by 0.8 K"}) {
    CAPTURE(part);
    CHECK(has(flat, part));
  }
  CHECK(!has(flat, "9.25"));  // those are apart
  for (const std::string& line : text::split(all, '\n')) {
    CAPTURE(line);
    CHECK(text::width(line) <= page_width);
  }
}

TEST_CASE("the cooler under test has its own sentence, unless it is the best") {
  ToldRanking told = invented();
  told.under_test = told.ranking.rows[2].title;
  CHECK(
      has(joined(text(told)), "long name is number 3 of 3, in group 2: 41.0 K (40.3 to 41.7 K)."));
  told.under_test = "Invented 360";
  CHECK(!has(text(told), "is number"));
}

TEST_CASE("bounds are told as bounds, with a caution") {
  ToldRanking told = invented();
  told.ranking.rows[2].value.bound = true;
  told.ranking.rows[2].rise->bound = true;
  const std::string flat = joined(text(told));
  CHECK(has(flat, ">=41.0"));
  CHECK(has(flat, "CAUTION Invented tower"));
  CHECK(has(flat, "lower bound"));
  const Json rise = Json::parse(json(told))["ranking"][2]["rise_K"];
  CHECK(rise["bound"] == true);
  CHECK(rise["p95"].is_null());
  CHECK(rise["p05"].get<double>() == doctest::Approx(41.0 - 1.6449 * 0.4));
  const auto cells = text::split(text::split(csv(told), '\n')[1], ',');
  CHECK(cells[5] != "");
  told.ranking.rows[0].value.bound = told.ranking.rows[0].rise->bound = true;
  CHECK(text::split(text::split(csv(told), '\n')[1], ',')[4] == cells[4]);
  CHECK(text::split(text::split(csv(told), '\n')[1], ',')[5].empty());
  CHECK(has(joined(text(told)), "is first of 3 coolers: at least 31.2 K; not told apart"));
  told.under_test = told.ranking.rows[2].title;
  CHECK(has(joined(text(told)), "in group 2: at least 41.0 K."));
}

TEST_CASE("rows like one another need not be neighbours") {
  ToldRanking told = invented();
  told.ranking.rows[0].like = {2};
  CHECK(like_words(told.ranking, 0) == "1,3");
  CHECK(tied_with_best(told.ranking) == std::vector<std::string>{told.ranking.rows[2].title});
  CHECK(Json::parse(json(told))["ranking"][0]["like_ranks"] == Json({1, 3}));
  told.ranking.rows[0].like = {};
  CHECK(like_words(told.ranking, 0).empty());
  told.ranking.rows.resize(9, told.ranking.rows[2]);
  told.ranking.rows[4].like = {0, 1, 2, 6, 7};
  CHECK(like_words(told.ranking, 4) == "1-3,5+");
  CHECK(like_ranks(told.ranking, 4) == std::vector<std::size_t>{1, 2, 3, 5, 7, 8});
}

TEST_CASE("an assumed scatter of mountings is told once, by the ranking's own note") {
  ToldRanking told = invented();
  told.ranking.mount_freedom = 0.0;
  CHECK(!has(joined(text(told)), "one mounting to the next"));
}

TEST_CASE("at equal rise the noise ranks") {
  ToldRanking told = invented();
  Ranking& r = told.ranking;
  r.condition.rise = 40.0;
  for (RankedCooler& one : r.rows) {
    one.value = {28.0 + one.group, 0.6, 0.5, false, false};
    one.level.reset();
  }
  r.rows[0].value.bound = true;
  const std::string flat = joined(text(told));
  CHECK(has(flat,
            "At 180 W and 40 K over ambient, Invented 360 is first of 3 coolers: at most "
            "29.0 dBA; "));
  CHECK(has(flat, "<=29.0"));
  CHECK(!has(flat, "CAUTION"));
  const Json all = Json::parse(json(told));
  CHECK(all["ranked_by"] == "noise_dBA");
  CHECK(all["ranking"][0]["noise_dBA"]["p50"] == 29.0);
  CHECK(all["ranking"][0]["noise_dBA"]["p05"].is_null());
  CHECK(all["ranking"][0]["noise_dBA"]["p95"].is_number());
  CHECK(all["ties"][0].contains("difference_dB"));
}

TEST_CASE("JSON and CSV") {
  ToldRanking told = invented();
  Json all = Json::parse(json(told));
  CHECK(all["condition"]["load_W"] == 180.0);
  CHECK(all["condition"]["noise_dBA"].is_null());
  CHECK(all["ranked_by"] == "rise_K");
  const Json& best = all["ranking"][0];
  CHECK(best["rank"] == 1);
  CHECK(best["rise_K"]["p50"] == 31.25);
  CHECK(best["rise_K"]["p95"].get<double>() == doctest::Approx(31.25 + 1.6449 * 0.4));
  CHECK(best["rise_K"]["u_bench"] == 0.8);
  CHECK(best["K_per_unit_of_price"] == 0.244);
  CHECK(all["ranking"][1]["predicted"] == true);
  CHECK(all["ties"][0]["mounts_needed"] == 5);
  CHECK(all["ties"][1]["mounts_needed"].is_null());
  CHECK(all["bench_states"][1]["factor"] == 1.021);
  CHECK(all["left_out"].size() == 2);
  CHECK(all["equal_noise"].is_null());
  told.equal_noise = told.ranking;
  told.equal_noise->condition.level = 32.0;
  all = Json::parse(json(told));
  CHECK(all["equal_noise"]["noise_dBA"] == 32.0);
  CHECK(all["equal_noise"]["ranking"].size() == 3);
  CHECK(has(text(told), "\nAt equal noise: 180 W and 32 dBA, the level that"));
  const auto lines = text::split(csv(told), '\n');
  REQUIRE(lines.size() == 5);
  CHECK(text::split(lines[1], ',').size() == text::split(lines[0], ',').size());
  CHECK(lines[1].rfind("1,1,Invented 360,31.25,", 0) == 0);
  CHECK(has(lines[3], "\"Invented tower, heavy, with two fans and a long name\""));
  // A ranking at a level is one at equal noise itself.
  told.equal_noise.reset();
  told.ranking.condition.level = 30.0;
  CHECK(Json::parse(json(told))["equal_noise"]["noise_dBA"] == 30.0);
}

TEST_CASE("nothing to rank is told, too") {
  ToldRanking told = invented();
  told.ranking.rows.clear();
  told.ranking.ties.clear();
  CHECK(has(joined(text(told)), "no cooler can be ranked; below it says why."));
  CHECK(has(text(told), "Invented 120"));
  CHECK(Json::parse(json(told))["ranking"].empty());
}

TEST_CASE("the condition in words") {
  Condition c;
  c.load = 180.0;
  CHECK(condition_words(c) == "180 W and the fastest fans measured");
  c.fan_speed = 20.0;
  CHECK(condition_words(c) == "180 W and fans at 1200 rpm");
  c.fan_share = 0.6;
  CHECK(condition_words(c) == "180 W and fans at 60 %");
}

TEST_CASE("titles with control characters do not reach a terminal") {
  ToldRanking told = invented();
  told.ranking.rows[0].title = "Bad\x1b[2J\n$`_^<script>";
  told.ranking.ties[0].better = told.ranking.rows[0].title;
  const std::string all = text(told);
  CHECK(!has(all, "\x1b"));
  CHECK(has(all, "$`_^<script>"));
}

}  // namespace
}  // namespace libloop::report
