#include "libloop/files/read_measured.hpp"

#include <doctest/doctest.h>

#include <string>

#include "libloop/base/error.hpp"

namespace libloop {
namespace {

constexpr double rpm = 1.0 / 60.0;

MeasuredTable parse(const std::string& text, const ReadingChoice& choice = {}) {
  return parse_measured(text, "invented.csv", choice);
}

bool has(const std::vector<std::string>& sentences, const std::string& part) {
  for (const std::string& one : sentences) {
    if (one.find(part) != std::string::npos) return true;
  }
  return false;
}

std::string whole(const InputError& error) {
  std::string all;
  for (const Problem& problem : error.problems()) all += problem.describe() + '\n';
  return all;
}

template <class Step>
Problem problem_of(const Step& step) {
  try {
    step();
  } catch (const InputError& error) {
    return error.problems().front();
  }
  FAIL("nothing was thrown");
  return {};
}

TEST_CASE("a table with every column") {
  const MeasuredTable table = parse(
      "cooler,load [W],fan [%],fan speed [rpm],rise [K],u [K],ambient [C],noise [dBA],mount,"
      "held,date,price\n"
      "Invented slim 240,180,60,1050,41.5,0.4,22.5,31.2,2,yes,2026-01-31,89 EUR\n"
      "Invented slim 240,270,100,1750,63,,23,<28,2,no,2026-02-01,\n");
  REQUIRE(table.points.size() == 2);
  const MeasuredPoint& one = table.points[0];
  CHECK(one.cooler == "Invented slim 240");
  CHECK(one.load == 180.0);
  CHECK(*one.fan_share == doctest::Approx(0.6));
  CHECK(*one.fan_speed == doctest::Approx(1050 * rpm));
  CHECK(one.rise == 41.5);
  CHECK(*one.u == 0.4);
  CHECK(*one.ambient == doctest::Approx(295.65));
  CHECK(*one.level == 31.2);
  CHECK(!one.level_bound);
  CHECK(one.mount == 2);
  CHECK(one.held);
  CHECK(one.date == "2026-01-31");
  CHECK(table.points[1].day - one.day == 1.0);
  CHECK(one.day == 20484.0);  // days since 1970-01-01, by date -d 2026-01-31 +%s over 86400
  CHECK(one.line == 2);
  CHECK(!table.points[1].u);
  CHECK(*table.points[1].level == 28.0);
  CHECK(table.points[1].level_bound);
  CHECK(!table.points[1].held);
  REQUIRE(table.prices.size() == 1);
  CHECK(table.prices[0].text == "89 EUR");
  CHECK(*table.prices[0].amount == 89.0);
  CHECK(table.prices[0].unit == "EUR");
  CHECK(table.rows_read == 2);
  CHECK(table.left_out.empty());
}

TEST_CASE("as a spreadsheet writes it elsewhere: semicolons, decimal commas, other words") {
  const MeasuredTable table = parse(
      "\xEF\xBB\xBFKühler;Leistung (W);Drehzahl;ΔT;Schallpegel;Preis [EUR];Datum\r\n"
      "Erfunden 280;180,5;1.150;38,25;29,5;1.089,90;31.1.2026\r\n"
      ";90;850;20,5;;;1.2.2026\r\n");
  REQUIRE(table.points.size() == 2);
  CHECK(table.points[0].load == 180.5);
  CHECK(*table.points[0].fan_speed == doctest::Approx(1150 * rpm));
  CHECK(table.points[0].rise == 38.25);
  CHECK(*table.points[0].level == 29.5);
  // A cell that was merged with the one above.
  CHECK(table.points[1].cooler == "Erfunden 280");
  CHECK(table.points[1].day - table.points[0].day == 1.0);
  CHECK(!table.points[1].level);
  CHECK(*table.prices.at(0).amount == doctest::Approx(1089.9));
  CHECK(table.prices.at(0).unit == "EUR");
  CHECK(has(table.decisions, "the one above counts"));
  CHECK(has(table.decisions, "in rpm"));
}

TEST_CASE("rise from chip and ambient; units of differences") {
  const MeasuredTable table = parse("model,power,cpu temp [F],ambient [C]\nA,100,140,20\n");
  CHECK(table.points.at(0).rise == doctest::Approx(40.0));
  CHECK(has(table.decisions, "less the ambient"));
  // A difference written in degrees is one in kelvins, and 9 F are 5 K.
  CHECK(parse("cooler,load [W],delta T [°C]\nA,100,40\n").points.at(0).rise == 40.0);
  CHECK(parse("cooler,load [W],dT [°F]\nA,100,72\n").points.at(0).rise == doctest::Approx(40.0));
  // Its own column goes before the chip's.
  const MeasuredTable both =
      parse("cooler,load [W],rise [K],chip [C],ambient [C]\nA,100,40,70,20\nA,200,,80,20\n");
  CHECK(both.points.at(0).rise == 40.0);
  CHECK(both.points.at(1).rise == doctest::Approx(60.0));
}

TEST_CASE("u is standard, U expanded") {
  CHECK(*parse("cooler,load,rise,u\nA,100,40,0.4\n").points.at(0).u == 0.4);
  const MeasuredTable table = parse("cooler,load,rise,U\nA,100,40,0.8\n");
  CHECK(*table.points.at(0).u == 0.4);
  CHECK(has(table.decisions, "twice the standard uncertainty"));
}

TEST_CASE("fan speeds by unit, in the heading or the cell, or by size") {
  const MeasuredTable cells = parse("cooler,load,fan,rise\nA,100,60 %,40\nA,100,1200 rpm,40\n");
  CHECK(*cells.points.at(0).fan_share == doctest::Approx(0.6));
  CHECK(!cells.points.at(0).fan_speed);
  CHECK(*cells.points.at(1).fan_speed == doctest::Approx(1200 * rpm));
  const MeasuredTable percent = parse("cooler,load,fan,rise\nA,100,40,40\nA,100,100,30\n");
  CHECK(*percent.points.at(0).fan_share == doctest::Approx(0.4));
  CHECK(has(percent.decisions, "in %"));
  const Problem problem =
      problem_of([] { parse("cooler,load,fan,rise\nA,100,0.6,40\nA,100,1,30\n"); });
  CHECK(problem.code == Code::unit);
  CHECK(problem.suggestion.find("fan [%]") != std::string::npos);
  CHECK(problem_of([] { parse("cooler,load,fan,rise\nA,1,100,40\nA,1,900,30\n"); }).code ==
        Code::unit);
}

TEST_CASE("rows that cannot be used are counted, with reason and line") {
  const MeasuredTable table = parse(
      "cooler,load [W],fan [%],rise [K],held,noise [dBA],ambient [C]\n"
      "A,100,60,40,yes,30,22\n"
      "A,n/a,60,40,yes,30,22\n"
      "A,100,60,N/A,yes,30,22\n"
      "A,100,60,-,yes,30,22\n"
      "A,100,60,hot,yes,30,22\n"
      "A,-5,60,40,yes,30,22\n"
      "A,100,900,40,yes,30,22\n"
      "A,100,60,40,maybe,30,22\n"
      "A,100,60,4000,yes,30,22\n"
      "A,100,60,40,yes,300,22\n"
      "A,100,60,40,yes,30,200\n"
      "A,100\n");
  CHECK(table.points.size() == 1);
  CHECK(table.rows_read == 12);
  long long count = 0;
  std::vector<std::string> reasons;
  for (const LeftOut& one : table.left_out) {
    count += one.count;
    reasons.push_back(one.reason);
  }
  CHECK(count == 11);
  CHECK(has(reasons, "no load (line 3)"));
  CHECK(has(reasons, "no rise, nor chip temperature with ambient (lines 4, 5 and 13)"));
  CHECK(has(reasons, "'hot' is no rise (line 6)"));
  CHECK(has(reasons, "a load of -5 W is out of bounds (line 7)"));
  CHECK(has(reasons, "the fan speed is out of bounds (line 8)"));
  CHECK(has(reasons, "held is neither yes nor no (line 9)"));
  CHECK(has(reasons, "a rise of 4000 K is out of bounds (line 10)"));
  CHECK(has(reasons, "the noise is out of bounds (line 11)"));
  CHECK(has(reasons, "the ambient temperature is out of bounds (line 12)"));
}

TEST_CASE("rows left out name their cooler") {
  const MeasuredTable table = parse(
      "cooler,load [W],rise [K]\nInvented A,100,40\nInvented B,,40\nInvented C,,40\n"
      "Invented B,,41\nInvented A,100,<40\n");
  REQUIRE(table.left_out.size() == 2);
  CHECK(table.left_out[0].reason == "no load (lines 3, 4 and 5), of 'Invented B' and 'Invented C'");
  CHECK(table.left_out[1].reason == "'<40' is only a bound of rise (line 6), of 'Invented A'");
}

TEST_CASE("a log is no table of points") {
  std::string log = "time [s],chip [C],ambient [C],load [W]\n";
  for (int i = 0; i < 30; ++i) log += std::to_string(i) + ",60,20,100\n";
  const Problem problem = problem_of([&] { parse(log); });
  CHECK(problem.code == Code::kind);
  CHECK(problem.message.find("this looks like a log") != std::string::npos);
  CHECK(problem.suggestion.find("libloop reduce") != std::string::npos);
  CHECK(problem.place.line == 1);
  CHECK(problem.place.column == 1);
  std::string clock = "time,chip [C],load [W]\n";
  for (int i = 0; i < 30; ++i) clock += "10:00:" + std::to_string(10 + i) + ",60,100\n";
  CHECK(problem_of([&] { parse(clock); }).code == Code::kind);
  // Points with the hour they were taken at, and a table that names coolers, are none.
  std::string few = "time,load [W],rise [K]\n", named = "cooler,time,load [W],rise [K]\n";
  for (int i = 0; i < 30; ++i) {
    const std::string row = "10:00:" + std::to_string(10 + i) + ",100,40\n";
    if (i < 20) few += row;
    named += "A," + row;
  }
  CHECK(parse(few).points.size() == 20);
  CHECK(parse(named).points.size() == 30);
}

TEST_CASE("points that had not settled, and rises that were more") {
  const MeasuredTable table = parse(
      "cooler,load [W],rise [K],settled,held\nA,100,40,yes,\nA,100,41,no,\nA,100,>42,,\n"
      "A,100,40,soon,\nA,100,\xE2\x89\xA5 43,,yes\n");
  REQUIRE(table.points.size() == 4);
  CHECK(table.points[0].settled);
  CHECK(!table.points[1].settled);
  CHECK(table.points[1].held);
  CHECK(table.points[2].rise == 42.0);
  CHECK(!table.points[2].held);
  CHECK(!table.points[3].held);
  CHECK(table.left_out.at(0).reason.rfind("settled is neither yes nor no (line 5)", 0) == 0);
}

TEST_CASE("a unit that cannot be read is no unit left out") {
  const Problem load = problem_of([] { parse("cooler,load [foo],rise [K]\nA,100,40\n"); });
  CHECK(load.code == Code::unit);
  CHECK(load.message == "the unit 'foo' of 'load [foo]' cannot be read");
  CHECK(load.place.line == 1);
  CHECK(load.place.column == 8);
  const Problem fan = problem_of([] { parse("cooler,load,fan rpm x100,rise\nA,100,12,40\n"); });
  CHECK(fan.code == Code::unit);
  CHECK(fan.suggestion.find("fan [rpm]") != std::string::npos);
  CHECK(parse("cooler,load [mW],rise F\nA,100000,72\n").points.at(0).load ==
        doctest::Approx(100.0));
  CHECK(parse("cooler,load [W],rise F\nA,100,72\n").points.at(0).rise == doctest::Approx(40.0));
  CHECK(parse("cooler,load,rise,colour [foo]\nA,100,40,x\n").points.size() == 1);
}

TEST_CASE("a bare fan speed counts in the unit of the other cells") {
  const MeasuredTable table =
      parse("cooler,load,fan,rise\nA,100,60 %,40\nA,100,100,35\nA,100,40%,47\n");
  REQUIRE(table.points.size() == 3);
  CHECK(*table.points[1].fan_share == doctest::Approx(1.0));
  CHECK(has(table.decisions, "Where a cell of 'fan' has no unit it is taken in %"));
  // A number that is no share is not guessed at.
  CHECK(parse("cooler,load,fan,rise\nA,100,60 %,40\nA,100,1200,35\n").points.size() == 1);
}

TEST_CASE("held, throttled, mountings") {
  const MeasuredTable table = parse(
      "cooler,load,rise,throttled,mount\nA,100,40,no,1\nA,100,41,yes,2\nA,100,42,,b\n"
      "A,100,42,nein,a\nA,100,42,x,b\n");
  const auto& points = table.points;
  REQUIRE(points.size() == 5);
  CHECK(points[0].held);
  CHECK(!points[1].held);
  CHECK(points[2].held);
  CHECK(!points[4].held);
  CHECK(points[1].mount == 2);
  CHECK(points[2].mount == points[4].mount);
  CHECK(points[2].mount != points[3].mount);
  CHECK(points[2].mount > 10000);
}

TEST_CASE("prices in any dress") {
  const MeasuredTable table = parse(
      "cooler,load,rise,price\nA,100,40,$89.50\nB,100,40,on request\nC,100,40,99\n"
      "A,90,40,$91\nD,100,40,120 €\n");
  REQUIRE(table.prices.size() == 4);
  CHECK(*table.prices[0].amount == 89.5);
  CHECK(table.prices[0].unit == "$");
  CHECK(!table.prices[1].amount);
  CHECK(table.prices[1].text == "on request");
  CHECK(*table.prices[2].amount == 99.0);
  CHECK(table.prices[2].unit.empty());
  CHECK(table.prices[3].unit == "€");
  CHECK(has(table.decisions, "A has more than one price; the first counts"));
}

TEST_CASE("dates: read where they can be, asked for where they cannot") {
  const std::string doubtful = "cooler,load,rise,date\nA,100,40,03/04/2026\nA,100,40,04/04/2026\n";
  const Problem problem = problem_of([&] { parse(doubtful); });
  CHECK(problem.code == Code::conflict);
  CHECK(problem.suggestion.find("--dates month-first") != std::string::npos);
  CHECK(problem.place.line == 2);
  ReadingChoice choice;
  choice.dates = DateOrder::month_first;
  const auto months = parse(doubtful, choice).points;
  CHECK(months[1].day - months[0].day == 31.0);
  choice.dates = DateOrder::day_first;
  const auto days = parse(doubtful, choice).points;
  CHECK(days[1].day - days[0].day == 1.0);
  // Another date tells, a single one makes no difference, a word names a state.
  CHECK_NOTHROW(parse("cooler,load,rise,date\nA,100,40,03/04/2026\nA,100,40,25/04/2026\n"));
  CHECK_NOTHROW(parse("cooler,load,rise,date\nA,100,40,03/04/2026\nA,100,40,03/04/2026\n"));
  const auto words = parse("cooler,load,rise,date\nA,100,40,new paste\n").points;
  CHECK(words[0].date == "new paste");
  CHECK(words[0].day == 0.0);
}

TEST_CASE("columns that are missing, there twice, or of another kind are told with their place") {
  Problem problem = problem_of([] { parse("cooler,laod [W],rise [K]\nA,100,40\n"); });
  CHECK(problem.code == Code::missing);
  CHECK(problem.suggestion.find("'load'") != std::string::npos);
  CHECK(problem.place.line == 1);
  problem = problem_of([] { parse("cooler,load [W],chip [C]\nA,100,40\n"); });
  CHECK(problem.message.find("rise") != std::string::npos);
  problem = problem_of([] { parse("cooler,load,rise,delta T\nA,100,40,41\n"); });
  CHECK(problem.code == Code::duplicate);
  CHECK(problem.place.column == 18);
  problem = problem_of([] { parse("cooler,load [C],rise\nA,100,40\n"); });
  CHECK(problem.code == Code::dimension);
  problem = problem_of([] { parse("cooler,load,rise\nA,n/a,40\n"); });
  CHECK(problem.code == Code::missing);
  CHECK(problem.message.find("no load (line 2)") != std::string::npos);
  CHECK_THROWS_AS(parse(""), InputError);
  CHECK_THROWS_AS(parse("1,2,3\n4,5,6\n"), InputError);
  try {
    read_measured("nowhere.csv");
    FAIL("nothing was thrown");
  } catch (const InputError& error) {
    CHECK(whole(error).find("there is no such file") != std::string::npos);
  }
}

TEST_CASE("a table without a column of coolers is of one") {
  const MeasuredTable table = parse("load [W],rise [K],remarks\n100,40,quiet\n");
  CHECK(table.points.at(0).cooler == "invented");
  CHECK(has(table.decisions, "all rows are of 'invented'"));
  CHECK(has(table.decisions, "Not used: column 'remarks'"));
}

TEST_CASE("titles keep what they hold") {
  const std::string title = R"(He said ""$_^` <script>"")";
  const MeasuredTable table = parse("cooler,load,rise\n\"" + title + "\",100,40\n");
  CHECK(table.points.at(0).cooler == R"(He said "$_^` <script>")");
  CHECK(parse("cooler,load,rise\n" + std::string(5000, 'x') + ",100,40\n")
            .points.at(0)
            .cooler.size() == 200);
}

TEST_CASE("sound levels by fan speed") {
  const LevelTable table = parse_levels(
      "fan [rpm];level [dB(A)];background;distance [cm]\n"
      "600;25,1;21,5;50\n1200;<24;21,5;50\n1800;39,9;;\n;30;;\n",
      "levels.csv");
  REQUIRE(table.readings.size() == 2);
  CHECK(*table.readings[0].fan_speed == doctest::Approx(600 * rpm));
  CHECK(table.readings[0].level == 25.1);
  CHECK(*table.readings[0].background == 21.5);
  CHECK(*table.readings[0].distance == doctest::Approx(0.5));
  CHECK(!table.readings[1].background);
  CHECK(!table.readings[1].distance);
  CHECK(table.readings[1].line == 4);
  CHECK(has(table.decisions, "Line 3 is not used: only a bound of the level"));
  CHECK(has(table.decisions, "Line 5 is not used: no fan speed"));
  const LevelTable room = parse_levels("fan [rpm],level [dBA],room [dBA]\n600,25,19\n", "l.csv");
  CHECK(*room.readings.at(0).background == 19.0);
  CHECK_THROWS_AS(parse_levels("fan [rpm],rise\n600,20\n", "levels.csv"), InputError);
  CHECK_THROWS_AS(parse_levels("level\n20\n", "levels.csv"), InputError);
  CHECK_THROWS_AS(parse_levels("fan [rpm],level\n600,n/a\n", "levels.csv"), InputError);
}

}  // namespace
}  // namespace libloop
