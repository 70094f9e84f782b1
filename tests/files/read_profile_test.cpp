#include "libloop/files/read_profile.hpp"

#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "libloop/files/read.hpp"
#include "libloop/model/rated_speed.hpp"

namespace libloop {
namespace {

using Lines = std::vector<std::string>;

Model invented() {
  return Model(read_cooler(LIBLOOP_SOURCE "/examples/dense-280.toml"),
               generic_bench("one-large-die"));
}

// Two rows of fans, before and behind the core; `speeds` are their rated speeds in rpm, and
// without them none is given.
Model two_rows(const Lines& speeds) {
  std::string text = "[radiator]\nclass = \"240\"\n";
  for (std::size_t i = 0; i < 2; ++i) {
    text += std::string("[[fan]]\nname = \"") + (i == 0 ? "front" : "back") + "\"\nside = \"" +
            (i == 0 ? "push" : "pull") + "\"\n";
    if (!speeds.empty()) text += "rated_speed = \"" + speeds[i] + " rpm\"\n";
  }
  return Model(parse_cooler(text, "t"), generic_bench("one-large-die"));
}

std::vector<Problem> problems_of(const std::string& text, const Model& model = invented()) {
  try {
    parse_profile(text, "t", model);
  } catch (const InputError& error) {
    return error.problems();
  }
  return {};
}

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

// ---- what is read

TEST_CASE("a profile is read into SI, column by column") {
  const Profile profile = parse_profile(
      "# invented\r\n"
      "\"time [min]\", load [kW],fan [%],ambient [F],chip.leakage_reference [K],fan.speed_share\r\n"
      "\r\n"
      "0,.04,60,77,368.15,1\r\n"
      "1.5,+1.8e-1,100,\"95\",370,0.5\r\n",
      "t", invented());
  CHECK(profile.names == Lines{"conditions.load", "conditions.fan", "conditions.ambient",
                               "chip.leakage_reference", "fan.speed_share"});
  CHECK(profile.times == std::vector<double>{0.0, 90.0});
  CHECK(profile.end() == 90.0);
  REQUIRE(profile.values.size() == 5);
  for (const std::vector<double>& column : profile.values) REQUIRE(column.size() == 2);
  CHECK(profile.values[0][0] == doctest::Approx(40.0));
  CHECK(profile.values[0][1] == doctest::Approx(180.0));
  CHECK(profile.values[1][0] == doctest::Approx(0.6));
  CHECK(profile.values[1][1] == doctest::Approx(1.0));
  CHECK(profile.values[2][0] == doctest::Approx(298.15));  // 77 F = 25 C
  CHECK(profile.values[2][1] == doctest::Approx(308.15));  // 95 F = 35 C
  CHECK(profile.values[3][0] == doctest::Approx(368.15));
  CHECK(profile.values[4][1] == doctest::Approx(0.5));
}

TEST_CASE("the short names are those of the conditions; time may stand in any column") {
  const Profile profile =
      parse_profile("load [W],fan [%],pump [%],ambient [C],altitude [m],time [s]\n1,2,3,4,5,0\n",
                    "t", invented());
  CHECK(profile.names == Lines{"conditions.load", "conditions.fan", "conditions.pump",
                               "conditions.ambient", "conditions.altitude"});
  const Profile full = parse_profile("time [s],conditions.load [W]\n0,1\n", "t", invented());
  CHECK(full.names == Lines{"conditions.load"});
}

TEST_CASE("one row, and steps: at the start, within, at the end") {
  CHECK(parse_profile("time [s],load [W]\n0,1\n", "t", invented()).end() == 0.0);
  const Profile steps =
      parse_profile("time [s],load [W]\n0,1\n0,2\n60,2\n60,3\n90,3\n90,4\n", "t", invented());
  CHECK(steps.times == std::vector<double>{0, 0, 60, 60, 90, 90});
  CHECK(steps.values[0] == std::vector<double>{1, 2, 2, 3, 3, 4});
}

TEST_CASE("rpm count by the rated speed that fans, or pumps, share") {
  const Model model = invented();
  const double fans = 60.0 * rated_speed(model.cooler(), "fan").value;
  const double pumps = 60.0 * rated_speed(model.cooler(), "pump").value;
  REQUIRE(fans != pumps);
  const Profile profile = parse_profile("time [s],fan [rpm],pump [rpm]\n0,840,1100\n", "t", model);
  CHECK(profile.values[0][0] == doctest::Approx(840.0 / fans));
  CHECK(profile.values[1][0] == doctest::Approx(1100.0 / pumps));
  const Profile alike =
      parse_profile("time [s],fan [rpm]\n0,900\n", "t", two_rows({"1800", "1800"}));
  CHECK(alike.values[0][0] == doctest::Approx(0.5));
}

TEST_CASE("a rated speed that nobody gave is noted; per cent need none") {
  std::vector<std::string> notes;
  parse_profile("time [s],fan [rpm]\n0,900\n", "t", two_rows({"1800", "1800"}), &notes);
  parse_profile("time [s],fan [%]\n0,50\n", "t", two_rows({}), &notes);
  CHECK(notes.empty());
  parse_profile("time [s],fan [rpm]\n0,900\n", "t", two_rows({}), &notes);
  REQUIRE(notes.size() == 1);
  CHECK(holds(notes[0], "the rated speed of the fans of the cooler is not given"));
}

TEST_CASE("fans of unlike rated speed have no common rpm") {
  const Model model = two_rows({"1800", "1500"});
  const auto problems = problems_of("time [s],fan [rpm]\n0,900\n", model);
  REQUIRE(problems.size() == 1);
  CHECK(problems[0].code == Code::conflict);
  CHECK(problems[0].place.column == 15);
  CHECK(holds(problems[0].message, "unlike rated speeds"));
  CHECK(holds(problems[0].suggestion, "\"fan [%]\""));
  CHECK(problems_of("time [s],fan [%],fan.front.speed_share [%]\n0,50,80\n", model).empty());
}

TEST_CASE("the example's profile is read") {
  const Profile profile =
      read_profile(LIBLOOP_SOURCE "/examples/profile-work-and-rest.csv", invented());
  CHECK(profile.names == Lines{"conditions.load", "conditions.fan", "conditions.pump"});
  CHECK(profile.end() == 2400.0);
  CHECK(profile.values[0].front() == 35.0);
  CHECK_NOTHROW(profile.check(invented()));
}

// ---- what is refused

struct Broken {
  const char* name;
  Code code;
  int line, column;  // 0: the file as a whole
  const char* message;
  const char* suggestion;
};

const std::vector<Broken> broken_profiles = {
    {"below_zero", Code::bounds, 2, 3, "ambient = -40 C is out of bounds", "between -30 C and 60"},
    {"carriage_returns", Code::syntax, 1, 18, "a carriage return without", "LF or CR LF"},
    {"decimal_comma", Code::kind, 3, 1, "'2,5' has a comma in its number", "point, 2.5, and"},
    {"decimal_comma_unquoted", Code::missing, 3, 5, "this row has 3 cells, the header 2",
     "write a decimal point"},
    {"dimension", Code::dimension, 1, 16, "'K' is of another dimension than 'W'", "\"load [W]\""},
    {"empty", Code::missing, 0, 0, "the file is empty", "\"time [s],load [W]\""},
    {"empty_cell", Code::missing, 3, 4, "load is empty", "repeat the one above"},
    {"fixed", Code::kind, 1, 10, "chip.limit cannot move in time", "as a number"},
    {"header_missing", Code::missing, 1, 1, "a number stands where a column is named",
     "names the columns"},
    {"infinite", Code::kind, 3, 1, "time cannot be inf", "Write a number"},
    {"name_far_off", Code::unknown, 1, 10, "no quantity is called 'weather'",
     "load, ambient, altitude, fan and pump"},
    {"name_missing", Code::missing, 1, 19, "column 3 has no name", "\"load [W]\""},
    {"name_near_miss", Code::unknown, 1, 10, "no quantity is called 'laod'",
     "Did you mean 'load'?"},
    {"name_twice", Code::duplicate, 1, 19, "conditions.load has two columns", "Keep one"},
    {"nan", Code::kind, 2, 3, "load cannot be NaN", "Write a number"},
    {"no_rows", Code::missing, 1, 1, "no row follows the header", "at time 0"},
    {"no_time", Code::missing, 1, 1, "no column for time", "\"time [s]\" or \"time [min]\""},
    {"not_text", Code::file, 2, 3, "byte 0xFF is not UTF-8", "UTF-8"},
    {"not_given", Code::kind, 1, 10, "radiator.width cannot move in time", "in the file of"},
    {"only_comments", Code::missing, 0, 0, "the file is empty", "a header"},
    {"only_time", Code::missing, 1, 1, "no column but time", "\"load [W]\""},
    {"out_of_bounds", Code::bounds, 3, 4, "load = 5.5 kW is out of bounds", "0 kW and 5 kW"},
    {"out_of_bounds_rpm", Code::bounds, 3, 4, "fan = 9000 rpm is out of bounds", "4950 rpm"},
    {"quantity_near_miss", Code::unknown, 1, 10, "no quantity is called 'fan.sped_share'",
     "Did you mean 'fan.speed_share'?"},
    {"quote_continued", Code::syntax, 2, 7, "after its closing quote", "twice"},
    {"quote_inside", Code::syntax, 2, 4, "a quote within a cell", "in quotes"},
    {"quote_open", Code::syntax, 2, 3, "a quote opens here", "Close the quote"},
    {"ragged_long", Code::missing, 2, 7, "this row has 3 cells, the header 2", "A comma divides"},
    {"ragged_short", Code::missing, 3, 4, "this row has 2 cells, the header 3", "every column"},
    {"round_brackets", Code::unknown, 1, 10, "no quantity is called 'load (W)'",
     "in square brackets"},
    {"rpm_of_a_share", Code::dimension, 1, 27, "'rpm' is of another dimension than '1'",
     "\"fan.speed_share [1]\""},
    {"semicolons", Code::syntax, 1, 9, "cells are divided by ';'", "by commas"},
    {"several", Code::unknown, 1, 10, "no quantity is called 'laod'", "'load'"},
    {"speed_without_unit", Code::unit, 1, 10, "fan: per cent or rpm?", "\"fan [%]\" (of rated"},
    {"tabs", Code::syntax, 1, 9, "cells are divided by tabs", "by commas"},
    {"temperature_for_a_load", Code::dimension, 1, 16, "'C' is a temperature; load is none",
     "\"load [W]\""},
    {"three_rows_at_once", Code::duplicate, 5, 1, "a third row at 60 s", "are a step"},
    {"time_falls", Code::order, 4, 1, "time falls: 30 s after 60 s", "Order the rows"},
    {"time_in_metres", Code::dimension, 1, 7, "'m' is no unit of time", "\"time [min]\""},
    {"time_starts_late", Code::order, 2, 1, "the first row stands at 5 s", "at time 0"},
    {"time_too_far", Code::bounds, 3, 1, "time = 1e6 h is out of bounds", "between 0 h and"},
    {"time_twice", Code::duplicate, 1, 10, "time has two columns", "Keep one"},
    {"time_without_unit", Code::unit, 1, 1, "time has no unit", "\"time [s]\""},
    {"unit_in_a_cell", Code::kind, 2, 3, "'100 W' is no plain number", "Write 100 alone"},
    {"unit_missing", Code::unit, 1, 10, "ambient has no unit", "\"ambient [C]\""},
    {"unit_unknown", Code::unit, 1, 16, "unknown unit 'Wt'", "Did you mean"},
    {"word_in_a_cell", Code::kind, 3, 4, "load: 'full' cannot be read", "in the header"},
};

std::string folder() {
  return (std::filesystem::path(__FILE__).parent_path() / "broken_profile").string() + "/";
}

TEST_CASE("broken profiles are refused at the right place, and for one fault once") {
  const Model model = invented();
  for (const Broken& broken : broken_profiles) {
    CAPTURE(broken.name);
    std::vector<Problem> problems;
    try {
      read_profile(folder() + broken.name + ".csv", model);
    } catch (const InputError& error) {
      problems = error.problems();
    }
    REQUIRE_FALSE(problems.empty());
    const Problem& first = problems.front();
    CAPTURE(first.describe());
    CHECK(word(first.code) == word(broken.code));
    CHECK(holds(first.place.file, broken.name));
    CHECK(first.place.line == broken.line);
    CHECK(first.place.column == broken.column);
    CHECK(holds(first.message, broken.message));
    CHECK(holds(first.suggestion, broken.suggestion));
    const bool two = std::string(broken.name) == "header_missing";  // both cells, and no time
    if (!two && std::string(broken.name) != "several") CHECK(problems.size() == 1);
  }
}

TEST_CASE("every broken profile is in the list above") {
  std::set<std::string> listed;
  for (const Broken& broken : broken_profiles) listed.insert(broken.name);
  CHECK(listed.size() == broken_profiles.size());
  for (const auto& entry : std::filesystem::directory_iterator(folder())) {
    CHECK_MESSAGE(listed.count(entry.path().stem().string()) == 1, entry.path().string());
  }
}

TEST_CASE("all faults of a profile are told, in the order of their places") {
  std::vector<std::pair<int, Code>> found;
  try {
    read_profile(folder() + "several.csv", invented());
  } catch (const InputError& error) {
    for (const Problem& problem : error.problems()) {
      found.emplace_back(problem.place.line, problem.code);
    }
  }
  const std::vector<std::pair<int, Code>> expected = {
      {1, Code::unknown}, {1, Code::dimension}, {2, Code::order},  {3, Code::bounds},
      {4, Code::order},   {4, Code::missing},   {5, Code::missing}};
  CHECK(found == expected);
}

TEST_CASE("the mark stands under the cell, below its whole line") {
  const auto problems = problems_of("time [s],load [W]\n0,40\n10,180 W\n");
  REQUIRE(problems.size() == 1);
  CHECK(problems[0].describe() ==
        "t:3:4: '180 W' is no plain number\n"
        "    3 | 10,180 W\n"
        "      |    ^^^^^\n"
        "      Write 180 alone; the unit stands in the header.");
}

TEST_CASE("a first row that cannot be read makes no second one late") {
  CHECK(problems_of("time [s],load [W]\nx,1\n5,1\n").size() == 1);
  CHECK(problems_of("time [s],load [W]\n0\n5,1\n").size() == 1);
}

TEST_CASE("of very many faults the first hundred are told") {
  std::string text = "time [s],load [W]\n";
  for (int i = 0; i < 5000; ++i) text += "x,y\n";
  const auto problems = problems_of(text);
  REQUIRE(problems.size() == 101);
  CHECK(problems[99].place.line == 51);
  CHECK(holds(problems[100].message, "more problems"));
}

TEST_CASE("a long profile is read, and one of too many rows refused") {
  std::string text = "time [s],load [W]\n";
  for (int i = 0; i < 99999; ++i) text += std::to_string(i) + ",100\n";
  CHECK(parse_profile(text, "t", invented()).end() == 99998.0);
  const auto problems = problems_of(text + "99999,100\n");
  REQUIRE(problems.size() == 1);
  CHECK(problems[0].code == Code::bounds);
}

TEST_CASE("hostile profiles end in an error, not in a crash or a long wait") {
  std::string wide = "time [s]";
  for (int i = 0; i < 4000; ++i) wide += ",loat " + std::to_string(i);
  for (const std::string& text :
       {std::string(60000, ','), std::string(60000, '"'), std::string(60000, '['), wide + "\n0\n",
        std::string("time [s],load ]W[\n0,1\n"), std::string("time [s],[W]\n0,1\n"),
        std::string("time [s],load []\n0,1\n"), std::string("time [],load [W]\n0,1\n"),
        std::string("time [s],\"load\n[W]\"\n1,1\n"), std::string("time [s],load [W]\n0,1e999\n"),
        std::string("time [s],load [W]\n0,\"1\n2\"\n"), std::string("time [-s],load [W]\n0,1\n")}) {
    CAPTURE(text.substr(0, 40));
    const auto problems = problems_of(text);
    CHECK_FALSE(problems.empty());
    for (const Problem& problem : problems) CHECK_FALSE(problem.describe().empty());
  }
}

TEST_CASE("profiles that cannot be read are said so") {
  const auto code_of = [](const std::string& path) {
    try {
      read_profile(path, invented());
    } catch (const InputError& error) {
      return error.code();
    }
    return Code::call;
  };
  CHECK(code_of(folder() + "none_such.csv") == Code::file);
  CHECK(code_of(folder()) == Code::file);
}

}  // namespace
}  // namespace libloop
