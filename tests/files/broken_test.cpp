// Every broken file is refused with the right code, at the right place, in words that help.
#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <set>
#include <string>
#include <vector>

#include "libloop/files/read.hpp"

namespace libloop {
namespace {

struct Broken {
  const char* name;
  Code code;
  int line, column;  // 0: the file as a whole
  const char* message;
  const char* suggestion;
};

const std::vector<Broken> coolers = {
    {"bare_number", Code::unit, 3, 15, "fin_density is a plain number (19.5)", "\"19.5 fpi\""},
    {"bench_as_cooler", Code::kind, 1, 1, "this is a bench file", "belongs to a bench"},
    {"binary", Code::file, 2, 10, "byte 0xFF is not UTF-8", "UTF-8"},
    {"choice", Code::unknown, 3, 12, "fin_kind cannot be 'louverd'", "Did you mean 'louvered'?"},
    {"class_missing", Code::missing, 1, 1, "radiator.class is missing", "class = \"240\""},
    {"class_unknown", Code::unknown, 2, 9, "class cannot be '200'", "'240'"},
    {"control_character", Code::file, 2, 13, "control character 0x07", "Remove"},
    {"count_with_unit", Code::kind, 3, 10, "'2 times' is no whole number", "from 1 to 8"},
    {"curve_and_free_flow", Code::conflict, 6, 13, "both curve and free_flow", "leave the other"},
    {"curve_cells", Code::unit, 5, 32, "unknown unit 'cfmm'", "Did you mean 'cfm'?"},
    {"curve_flow_order", Code::order, 9, 3, "flow does not rise (50 m3/h after 60", "Order"},
    {"curve_negative", Code::bounds, 5, 53, "negative static pressure (-1 Pa)", "at 0 or above"},
    {"deep", Code::syntax, 3, 29, "nested more than 16 deep", "not closed"},
    {"dimension", Code::dimension, 3, 13, "'W' is of another dimension than 'mm'", "12 mm"},
    {"duplicate_key", Code::duplicate, 5, 1, "'thickness' is there twice", "one of them"},
    {"duplicate_table", Code::duplicate, 7, 1, "'radiator' is there twice", "one of them"},
    {"empty", Code::missing, 0, 0, "the file is empty", "[radiator] with its class, and one"},
    {"escaped_control_character", Code::syntax, 2, 9, "makes a control character", "printable"},
    {"fan_as_table", Code::kind, 4, 1, "fan is a list of tables", "Write [[fan]]"},
    {"fan_missing", Code::missing, 0, 0, "the cooler has no fan", "Add [[fan]]"},
    {"key_before_tables", Code::unknown, 1, 1, "stands before any table", "to [radiator]"},
    {"key_near_miss", Code::unknown, 3, 1, "no 'fin_densty'", "Did you mean 'fin_density'?"},
    {"key_of_another_table", Code::unknown, 5, 1, "fan has no 'fin_density'", "to [radiator]"},
    {"names", Code::duplicate, 8, 8, "two entries of fan are called 'left'", "its own name"},
    {"nan", Code::kind, 3, 12, "coverage cannot be nan", "\"0.92\""},
    {"negative", Code::bounds, 3, 14, "fin_height = -7 mm is out of bounds", "between 2 mm and 20"},
    {"network", Code::unknown, 7, 1, "no table 'network'", "not built yet"},
    {"range_keys", Code::missing, 3, 15, "the range of fin_density has no low", "typical, low and"},
    {"range_order", Code::order, 3, 15, "low 23 fpi, typical 19 fpi, high 15 fpi", "must rise"},
    {"range_touches_bound", Code::bounds, 3, 12, "touches its bound", "between 0.3 and 1"},
    {"several", Code::kind, 2, 9, "title is a text, not a plain number (3)", "quotes"},
    {"table_near_miss", Code::unknown, 7, 1, "no table 'pmp'", "Did you mean [pump]?"},
    {"table_of_a_bench", Code::unknown, 7, 1, "no table 'paste'", "belongs to a bench file"},
    {"too_many_fans", Code::conflict, 4, 1, "3 fans need 360 mm of length", "Lower the count"},
    {"two_radiators", Code::unknown, 5, 1, "2 of radiator", "not built yet"},
    {"unclosed_string", Code::syntax, 3, 13, "a quote opens here", "Close the quote"},
    {"unit_missing", Code::unit, 3, 13, "'30' has no unit", "\"30 mm\""},
    {"unit_unknown", Code::unit, 3, 13, "unknown unit 'mmm'", "Did you mean 'mm'?"},
    {"unquoted", Code::syntax, 3, 16, "not TOML", "in quotes"},
};

const std::vector<Broken> benches = {
    {"cooler_as_bench", Code::kind, 1, 1, "this is a cooler file", "belongs to a cooler"},
    {"dies", Code::conflict, 4, 1, "dies 1 and 2 overlap", "its place"},
    {"difference", Code::dimension, 2, 10, "'1 C' is a temperature, but a difference", "12 K"},
};

std::string folder() {
  return (std::filesystem::path(__FILE__).parent_path() / "broken").string() + "/";
}

template <class Read>
std::vector<Problem> problems_of(const Read& read) {
  try {
    read();
  } catch (const InputError& error) {
    return error.problems();
  }
  return {};
}

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

void check_first(const Broken& broken, const std::vector<Problem>& problems) {
  CAPTURE(broken.name);
  REQUIRE_FALSE(problems.empty());
  const Problem& first = problems.front();
  CAPTURE(first.describe());
  CHECK(word(first.code) == word(broken.code));
  CHECK(holds(first.place.file, broken.name));
  CHECK(first.place.line == broken.line);
  CHECK(first.place.column == broken.column);
  CHECK(holds(first.message, broken.message));
  CHECK(holds(first.suggestion, broken.suggestion));
}

TEST_CASE("broken cooler files are refused at the right place") {
  for (const Broken& broken : coolers) {
    const std::string path = folder() + broken.name + ".toml";
    check_first(broken, problems_of([&] { read_cooler(path); }));
  }
}

TEST_CASE("broken bench files are refused at the right place") {
  for (const Broken& broken : benches) {
    const std::string path = folder() + broken.name + ".toml";
    check_first(broken, problems_of([&] { read_bench(path); }));
  }
}

TEST_CASE("every broken file is in a list above") {
  std::set<std::string> listed;
  for (const auto* list : {&coolers, &benches}) {
    for (const Broken& broken : *list) listed.insert(broken.name);
  }
  for (const auto& entry : std::filesystem::directory_iterator(folder())) {
    CHECK_MESSAGE(listed.count(entry.path().stem().string()) == 1, entry.path().string());
  }
}

TEST_CASE("all faults of a file are told, in the order of their places") {
  const auto problems = problems_of([] { read_cooler(folder() + "several.toml"); });
  std::vector<std::pair<int, Code>> found;
  for (const Problem& problem : problems) found.emplace_back(problem.place.line, problem.code);
  const std::vector<std::pair<int, Code>> expected = {
      {2, Code::kind},   {6, Code::dimension}, {7, Code::unknown}, {8, Code::kind},
      {9, Code::bounds}, {13, Code::unit},     {15, Code::unknown}};
  CHECK(found == expected);
}

TEST_CASE("every bad cell of a curve and every bad name has its own place") {
  CHECK(problems_of([] { read_cooler(folder() + "curve_cells.toml"); }).size() == 4);
  CHECK(problems_of([] { read_cooler(folder() + "names.toml"); }).size() == 4);
  CHECK(problems_of([] { read_cooler(folder() + "bare_number.toml"); }).size() == 2);
  CHECK(problems_of([] { read_cooler(folder() + "range_keys.toml"); }).size() == 2);
}

TEST_CASE("a fault does not make others up") {
  // With the class unknown, whether the fans fit cannot be said.
  CHECK(problems_of([] { read_cooler(folder() + "class_unknown.toml"); }).size() == 1);
  CHECK(problems_of([] { read_cooler(folder() + "fan_as_table.toml"); }).size() == 1);
}

TEST_CASE("the mark stands under the fault") {
  const auto problems = problems_of([] { read_cooler(folder() + "key_near_miss.toml"); });
  REQUIRE(problems.size() == 1);
  CHECK(problems[0].place.length == 10);
  CHECK(problems[0].place.text == "fin_densty = \"20 fpi\"");
  CHECK(holds(problems[0].describe(), "    3 | fin_densty = \"20 fpi\"\n      | ^^^^^^^^^^\n"));
}

TEST_CASE("files that cannot be read are said so") {
  const auto missing = problems_of([] { read_cooler(folder() + "none_such.toml"); });
  REQUIRE(missing.size() == 1);
  CHECK(missing[0].code == Code::file);
  CHECK(holds(missing[0].message, "no such file"));
  const auto directory = problems_of([] { read_bench(folder()); });
  REQUIRE(directory.size() == 1);
  CHECK(directory[0].code == Code::file);
  CHECK(holds(directory[0].message, "folder"));
}

TEST_CASE("a file beyond 1 MiB is refused") {
  const std::string text = "[radiator]\nclass = \"240\"\n" + std::string(1100000, '#');
  const auto problems = problems_of([&] { parse_cooler(text, "large"); });
  REQUIRE(problems.size() == 1);
  CHECK(problems[0].code == Code::file);
  CHECK(holds(problems[0].message, "1100025 bytes"));
  const std::string path = (std::filesystem::temp_directory_path() / "libloop_large.toml").string();
  std::ofstream(path, std::ios::binary) << text;
  const auto read = problems_of([&] { read_cooler(path); });
  std::filesystem::remove(path);
  REQUIRE(read.size() == 1);
  CHECK(read[0].code == Code::file);
}

TEST_CASE("hostile texts end in an error, not in a crash") {
  const std::string many(300000, '.');
  for (const std::string& text :
       {std::string(200000, '['), std::string(200000, '{'), "a" + many + " = 1",
        "[" + std::string(100000, ' ') + "a", std::string("a = \"\\u0000\""),
        std::string("\xEF\xBB\xBF[radiator"), std::string("[x]\r\ny = 1\rz = 2")}) {
    CHECK_FALSE(problems_of([&] { parse_cooler(text, "hostile"); }).empty());
  }
}

}  // namespace
}  // namespace libloop
