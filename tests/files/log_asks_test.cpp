// What a log leaves open is asked for, at its place, with the option that settles it.
#include <doctest/doctest.h>

#include <cstdlib>
#include <string>
#include <vector>

#include "libloop/base/error.hpp"
#include "libloop/files/read_log.hpp"

namespace libloop {
namespace {

struct Asked {
  std::string name;
  std::string text;
  Code code;
  int line, column;  // 0: the file as a whole
  std::string message, suggestion;
  LogChoice choice{};
};

LogChoice with_column(Channel channel, const std::string& heading) {
  LogChoice choice;
  choice.columns[channel] = heading;
  return choice;
}

LogChoice with_unit(Channel channel, const std::string& unit) {
  LogChoice choice;
  choice.units[channel] = unit;
  return choice;
}

LogChoice with_time(const std::string& heading) {
  LogChoice choice;
  choice.time_column = heading;
  return choice;
}

const std::vector<Asked> asked = {
    {"decimal or thousands", "time [s];chip [C];fan [rpm]\n0;40;1,234\n", Code::conflict, 2, 6,
     "'1,234' may be 1.234 or 1234", "--decimal comma or --decimal point"},
    {"a point that divides either", "time [s];chip [C];fan [rpm]\n0;40;1.234\n", Code::conflict, 2,
     6, "'1.234' may be 1.234 or 1234", "--decimal"},
    {"two decimal marks", "time [s];chip [C]\n0;40.5\n1;41,5\n", Code::conflict, 3, 3,
     "'41,5' has a decimal comma, '40.5' in line 2 a decimal point", "--decimal"},
    {"commas between cells and in numbers", "time [s],chip [C]\n0,40,5\n1,41,5\n", Code::conflict,
     2, 6, "this row has 3 cells, the heading 2", "semicolons"},
    {"days or months", "time,chip\n03/04/2024 10:00:00,40\n04/04/2024 10:00:00,41\n",
     Code::conflict, 3, 1, "'04/04/2024 10:00:00' may be day-first or month-first",
     "--dates day-first or --dates month-first"},
    {"days and months", "date,time,chip\n03/25/2024,10:00:00,40\n25/03/2024,10:00:01,41\n",
     Code::conflict, 2, 1, "some dates can only be day-first, others only month-first", "--dates"},
    {"hours or minutes", "time,chip\n10:00,40\n10:01,41\n", Code::conflict, 2, 1,
     "'10:00' may be hours and minutes or minutes and seconds", "\"time [hh:mm]\""},
    {"two columns for one channel", "time [s],CPU temp,Die temp\n0,40,41\n", Code::conflict, 1, 19,
     "'CPU temp' and 'Die temp' may both be chip",
     "--column chip=\"CPU temp\" or --column chip=\"Die temp\""},
    {"two columns of one name", "time [s],CPU,CPU\n0,40,41\n", Code::conflict, 1, 14,
     "may both be chip", "--column chip=\"#2\" or --column chip=\"#3\""},
    {"a name that two columns have", "time [s],a,a\n0,40,41\n", Code::conflict, 1, 12,
     "two columns are called 'a'", "\"#3\"", with_column(Channel::chip, "a")},
    {"a name that none has", "time [s],CPU temp\n0,40\n", Code::unknown, 1, 1,
     "no column is called 'CPU tmp'", "Did you mean 'CPU temp'?",
     with_column(Channel::chip, "CPU tmp")},
    {"a unit that is none", "time [s],chip [C],power [foo]\n0,40,100\n", Code::unit, 1, 19,
     "the unit 'foo' of 'power [foo]' cannot be read", "--unit load=W"},
    {"a unit with a near miss", "time [s],chip [C],power [kWW]\n0,40,1\n", Code::unit, 1, 19,
     "the unit 'kWW' of", "Did you mean 'kW'? Say it, for example --unit load=W."},
    {"a scale that no reader knows", "time [s],chip [R]\n0,560\n", Code::unit, 1, 10,
     "the unit 'R' of 'chip [R]'", "--unit chip=C"},
    {"a thousandth of a degree", "time [s],chip [mC]\n0,40000\n", Code::unit, 1, 10,
     "the unit 'mC' of", "--unit chip=C"},
    {"a factor in a heading", "time [s],chip,fan rpm x100\n0,40,12\n", Code::unit, 1, 15,
     "the unit 'rpm x100' of 'fan rpm x100'", "--unit fan_speed=rpm or --unit fan=%"},
    {"a unit that is none, below its heading", "time,chip,load\ns,C,foo\n0,40,100\n", Code::unit, 1,
     11, "the unit 'foo' of 'load'", "--unit load=W"},
    {"a number that no column has", "time [s],CPU temp\n0,40\n", Code::unknown, 1, 1,
     "there is no column #99, which was to be chip: the file has 2",
     "The headings are time [s] and CPU temp.", with_column(Channel::chip, "#99")},
    {"per cent or rpm", "time [s],chip,fan\n0,40,0\n", Code::unit, 1, 15,
     "'fan' has no unit, and its numbers (up to 0)", "--unit fan_speed=rpm or --unit fan=%"},
    {"litres a minute or an hour", "time [s],chip,flow\n0,40,60\n", Code::unit, 1, 15,
     "'flow' has no unit", "--unit flow=L/min"},
    {"a unit that is none", "time [s],chip\n0,40\n", Code::unit, 1, 10, "unknown unit 'Celsus'", "",
     with_unit(Channel::chip, "Celsus")},
    {"a unit of something else", "time [s],chip\n0,40\n", Code::dimension, 1, 10,
     "'chip' is in W, which is no unit of chip", "--unit chip=C", with_unit(Channel::chip, "W")},
    {"another heading in mid file",
     "time [s],chip\n0,40\n1,40\n2,41\ntime [s],load,chip\n0,90,40\n", Code::conflict, 5, 1,
     "another heading stands here", "Cut the file in two"},
    {"no time", "interval [s],chip\n1,40\n1,41\n", Code::missing, 0, 0, "no column tells the time",
     "--column time=HEADING"},
    {"a time that is none", "time [s],chip\nnow,40\nthen,41\n", Code::missing, 0, 0,
     "no time can be read in column 'time [s]'", "--column time="},
    {"a chosen time that is none", "time [s],chip,note\n1,40,a\n", Code::missing, 0, 0,
     "no time can be read in column 'note'", "--column time=", with_time("note")},
    {"nothing known, a near miss", "time [s],chp\n0,40\n", Code::unknown, 1, 1,
     "no column is known: chp", "Did you mean 'chip'? Name"},
    {"no heading", "0,40\n1,41\n", Code::missing, 0, 0, "no heading", "--column time=#1"},
    {"no rows", "time [s],chip\n", Code::missing, 0, 0, "no rows follow the heading", "chip [C]"},
    {"only time", "time [s]\n0\n", Code::missing, 1, 1, "no column but the time", ""},
    {"nothing", "", Code::missing, 0, 0, "the file is empty", ""},
};

std::vector<Problem> problems_of(const Asked& one) {
  try {
    parse_log(one.text, "t", one.choice);
  } catch (const InputError& error) {
    return error.problems();
  }
  return {};
}

TEST_CASE("what is not clear is asked for") {
  for (const Asked& one : asked) {
    CAPTURE(one.name);
    const std::vector<Problem> problems = problems_of(one);
    REQUIRE(problems.size() == 1);
    const Problem& first = problems[0];
    CAPTURE(first.describe());
    CHECK(word(first.code) == word(one.code));
    CHECK(first.place.file == "t");
    CHECK(first.place.line == one.line);
    CHECK(first.place.column == one.column);
    CHECK(first.message.find(one.message) != std::string::npos);
    CHECK(first.suggestion.find(one.suggestion) != std::string::npos);
  }
}

TEST_CASE("all columns that are not clear are told at once") {
  const auto problems =
      problems_of({"", "time [s],CPU,Die,fan,flow\n0,40,41,1,60\n", Code::unit, 0, 0, "", ""});
  CHECK(problems.size() == 3);
}

TEST_CASE("a late row settles the order of dates, and the log is read again with it") {
  std::string text = "time,chip\n";
  for (int i = 0; i < 20000; ++i) {
    const int minute = i / 60, second = i % 60;
    text += "03/04/2024 " + std::string(minute / 60 < 10 ? "0" : "") + std::to_string(minute / 60) +
            (minute % 60 < 10 ? ":0" : ":") + std::to_string(minute % 60) +
            (second < 10 ? ":0" : ":") + std::to_string(second) + ",40\n";
  }
  const Log log = parse_log(text + "03/25/2024 00:00:00,41\n", "t");
  CHECK(log.time.back() == 21 * 86400.0);  // 4 to 25 March
  CHECK(log.rows_read == 20001);
  CHECK(log.began.value_or(0.0) == 1709251200.0 + 3 * 86400.0);
}

TEST_CASE("bytes of a workbook or a program are said to be no text") {
  std::string bytes = "PK";
  for (int i = 0; i < 3000; ++i) bytes += static_cast<char>(i * 37 % 256);
  const auto problems = problems_of({"", bytes, Code::file, 0, 0, "", ""});
  REQUIRE(problems.size() == 1);
  CHECK(problems[0].code == Code::file);
  CHECK(problems[0].suggestion.find("as CSV") != std::string::npos);
}

TEST_CASE("a speed that starts at nothing is told by later rows") {
  std::string text = "time [s],chip,fan\n";
  for (int i = 0; i < 15000; ++i) text += std::to_string(i) + ",40,0\n";
  const Log log = parse_log(text + "15000,40,1200\n", "t");
  CHECK(log.find(Channel::fan_speed) != nullptr);
  CHECK(log.rows_read == 15001);
}

TEST_CASE("a decimal mark that shows late is taken then; one that is not clear then is asked for") {
  std::string text = "time [s];chip [C]\n";
  for (int i = 0; i < 20000; ++i) text += std::to_string(i) + ";40\n";
  CHECK(parse_log(text + "20000;41,5\n", "t").series[0].values.back() ==
        doctest::Approx(273.15 + 41.5));
  CHECK_THROWS_AS(parse_log(text + "20000;1,234\n", "t"), InputError);
}

TEST_CASE("hostile files end in an error or a log, and messages come out whole") {
  std::string wide = "time [s]";
  for (int i = 0; i < 3000; ++i) wide += ",chip " + std::to_string(i);
  for (const std::string& text :
       {std::string(300000, ','), std::string(300000, '"'), std::string(300000, 'x'),
        std::string(100000, '\n'), std::string(100000, '\0'), std::string("\xFF\xFE\0", 3),
        std::string("\xFE\xFF\xD8"), wide + "\n0,1\n", std::string("time [s],chip\n\"0,40\n"),
        std::string("time [s],chip\n0,1e999\n1,40\n"), std::string("time [s],chip\n1e308,40\n"),
        std::string("time,chip\n99999/99/99 99:99,4\n"), std::string("\"time\n\n\n\n"),
        std::string("time [s],chip\n0,40\n") + std::string(400000, '7')}) {
    CAPTURE(text.substr(0, 30));
    try {
      parse_log(text, "t");
    } catch (const InputError& error) {
      for (const Problem& problem : error.problems()) CHECK_FALSE(problem.describe().empty());
    }
  }
}

TEST_CASE("files that cannot be read are said so") {
  for (const char* path : {"/no/such/file.csv", LIBLOOP_SOURCE}) {
    try {
      read_log(path);
      FAIL("no error");
    } catch (const InputError& error) {
      CHECK(error.code() == Code::file);
    }
  }
}

}  // namespace
}  // namespace libloop
