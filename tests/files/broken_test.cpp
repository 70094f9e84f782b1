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
    {"coolant_twice", Code::kind, 6, 1, "coolant is no list", "[coolant], once"},
    {"control_character", Code::file, 2, 13, "control character 0x07", "Remove"},
    {"count_with_unit", Code::kind, 3, 10, "'2 times' is no whole number", "from 1 to 8"},
    {"curve_and_free_flow", Code::conflict, 6, 13, "both curve and free_flow", "leave the other"},
    {"curve_cells", Code::unit, 5, 32, "unknown unit 'cfmm'", "Did you mean 'cfm'?"},
    {"curve_end_rises", Code::order, 5, 53, "does not fall (13 Pa after 12 Pa)",
     "may rise in part"},
    {"curve_flow_order", Code::order, 9, 3, "flow does not rise (50 m3/h after 60", "Order"},
    {"curve_negative", Code::bounds, 5, 53, "negative static pressure (-1 Pa)", "at 0 or above"},
    {"curve_starts_at_none", Code::bounds, 5, 10, "starts without static pressure", "above 0"},
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
    {"network", Code::missing, 11, 8, "join is empty", "or leave it out"},
    {"network_air_as_table", Code::kind, 17, 1, "network.air is a list", "[[network.air]]"},
    {"network_air_near_miss", Code::unknown, 18, 12, "no part that air passes is called",
     "Did you mean"},
    {"network_air_one_path", Code::conflict, 10, 1, "air cannot pass 'attic'", "a second path"},
    {"network_air_twice", Code::duplicate, 20, 1, "air passes fan twice", "its own table"},
    {"network_fan_side", Code::conflict, 6, 8, "fan gives a side", "before or behind a radiator"},
    {"network_flat_join", Code::kind, 11, 8, "each entry of join is a list", "join = [[\"pump.out"},
    {"network_join_of_one", Code::missing, 12, 3, "a join of one port", "at least two"},
    {"network_keys", Code::unknown, 11, 1, "network has no 'joins'", "Did you mean 'join'?"},
    {"network_kinds", Code::kind, 12, 3, "an entry of join is a list, not a text", "[["},
    {"network_no_pump", Code::missing, 9, 1, "no pump drives the coolant", "Add a pump"},
    {"network_part_for_port", Code::unknown, 13, 22, "'radiator' is a part", "'radiator.in'"},
    {"network_port_near_miss", Code::unknown, 13, 22, "no part has a port called 'radiatr.in'",
     "Did you mean 'radiator.in'?"},
    {"network_port_unjoined", Code::missing, 9, 1, "reservoir.in is joined to nothing", "a join"},
    {"network_radiator_without_air", Code::missing, 1, 1, "no air path leads through radiator",
     "`through`"},
    {"network_says_nothing", Code::missing, 10, 1, "network says nothing", "leave [network] out"},
    {"network_short_circuit", Code::conflict, 9, 1, "both ports of reservoir meet", "different"},
    {"network_shroud_misplaced", Code::conflict, 18, 1, "shroud is not between", "to a core"},
    {"network_side_by_side", Code::conflict, 17, 1, "only fans can stand side by side", "a path"},
    {"network_two_pieces", Code::conflict, 13, 1, "runs in separate pieces", "Join them"},
    {"network_volume", Code::conflict, 10, 10, "coolant.volume belongs to a sealed", "reserve"},
    {"opening_in_a_sealed_loop", Code::conflict, 6, 1, "opening has no place", "add [network]"},
    {"range_keys", Code::missing, 3, 15, "the range of fin_density has no low", "typical, low and"},
    {"range_order", Code::order, 3, 15, "low 23 fpi, typical 19 fpi, high 15 fpi", "must rise"},
    {"range_touches_bound", Code::bounds, 3, 12, "touches its bound", "between 0.3 and 1"},
    {"several", Code::kind, 2, 9, "title is a text, not a plain number (3)", "quotes"},
    {"table_near_miss", Code::unknown, 7, 1, "no table 'pmp'", "Did you mean [pump]?"},
    {"table_of_a_bench", Code::unknown, 7, 1, "no table 'paste'", "belongs to a bench file"},
    {"too_many_fans", Code::conflict, 5, 9, "3 fans need 360 mm of length", "Lower the count"},
    {"tube_count", Code::kind, 11, 9, "'two' is no whole number", "from 1 to 64"},
    {"two_radiators", Code::conflict, 5, 1, "2 of radiator", "add [network]"},
    {"unclosed_string", Code::syntax, 3, 13, "a quote opens here", "Close the quote"},
    {"unit_missing", Code::unit, 3, 13, "'30' has no unit", "\"30 mm\""},
    {"unit_unknown", Code::unit, 3, 13, "unknown unit 'mmm'", "Did you mean 'mm'?"},
    {"unquoted", Code::syntax, 3, 16, "not TOML", "in quotes"},
};

const std::vector<Broken> benches = {
    {"chips", Code::duplicate, 5, 8, "two entries of chip are called 'graphics'", "its own name"},
    {"cooler_as_bench", Code::kind, 1, 1, "this is a cooler file", "belongs to a cooler"},
    {"dies", Code::conflict, 7, 1, "chip.die.2 reaches beyond the spreader", "from the middle"},
    {"dies_of_two_chips", Code::conflict, 10, 1, "dies 1 and 2 overlap", "its place"},
    {"difference", Code::dimension, 2, 10, "'1 C' is a temperature, but a difference", "12 K"},
    {"network_on_a_bench", Code::unknown, 4, 1, "no table 'network'", "belongs to a cooler"},
    {"paste_of_no_chip", Code::unknown, 8, 8, "none is called 'grafics'", "'graphics'?"},
    {"paste_without_name", Code::unknown, 7, 1, "paste.1 is for no chip", "processor or graphics"},
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
  CHECK(problems_of([] { read_cooler(folder() + "network_kinds.toml"); }).size() == 11);
  CHECK(problems_of([] { read_cooler(folder() + "network_keys.toml"); }).size() == 3);
  CHECK(problems_of([] { read_cooler(folder() + "network_port_unjoined.toml"); }).size() == 2);
  CHECK(problems_of([] { read_bench(folder() + "chips.toml"); }).size() == 3);
  CHECK(problems_of([] { read_bench(folder() + "paste_of_no_chip.toml"); }).size() == 2);
}

TEST_CASE("a fault does not make others up") {
  // With the class unknown, whether the fans fit cannot be said.
  CHECK(problems_of([] { read_cooler(folder() + "class_unknown.toml"); }).size() == 1);
  CHECK(problems_of([] { read_cooler(folder() + "fan_as_table.toml"); }).size() == 1);
  // With a count unread or an air path in the wrong form, all joins still are what they are.
  CHECK(problems_of([] { read_cooler(folder() + "tube_count.toml"); }).size() == 1);
  CHECK(problems_of([] { read_cooler(folder() + "network_air_as_table.toml"); }).size() == 1);
}

TEST_CASE("how parts are joined is judged once each is known, its rows at once") {
  const auto problems = problems_of([] {
    parse_cooler(R"([radiator]
fin_density = "19 fpi"

[reservior]

[network]
join = [["reservoir.out", "pump.in"]]
)",
                 "t");
  });
  REQUIRE(problems.size() == 2);
  CHECK(holds(problems[0].message, "radiator.class is missing"));
  CHECK(holds(problems[1].suggestion, "Did you mean [reservoir]?"));
}

TEST_CASE("a problem about what is not in the file stands at the table around it, or the file") {
  CHECK(problems_of([] { read_cooler(folder() + "class_missing.toml"); })[0].place.line == 1);
  const auto none = problems_of([] { parse_cooler("[[fan]]\n", "t"); });
  REQUIRE(none.size() == 1);
  CHECK(holds(none[0].message, "radiator.class is missing"));
  CHECK(none[0].about == "radiator.class");
  CHECK(none[0].place.file == "t");
  CHECK(none[0].place.line == 0);
}

TEST_CASE("lists that are too long are cut at their limits, and said so") {
  std::string joins, paths;
  for (int i = 0; i < 300; ++i) joins += "[\"a\", \"b\"],\n";
  for (int i = 0; i < 70; ++i) paths += "[[network.air]]\nthrough = [\"fan\"]\n";
  const std::string head = "[radiator]\nclass = \"240\"\n[[fan]]\n[network]\n";
  const auto many_joins =
      problems_of([&] { parse_cooler(head + "join = [\n" + joins + "]\n", "t"); });
  REQUIRE(many_joins.size() == 1);
  CHECK(many_joins[0].code == Code::bounds);
  CHECK(many_joins[0].place.line == 6 + 256);
  CHECK(holds(many_joins[0].suggestion, "At most 256"));
  const auto many_paths = problems_of([&] { parse_cooler(head + paths, "t"); });
  REQUIRE(many_paths.size() == 1);
  CHECK(many_paths[0].code == Code::bounds);
  CHECK(holds(many_paths[0].message, "[[network.air]] stands 70 times"));
  const auto long_word = problems_of(
      [&] { parse_cooler(head + "join = [[\"" + std::string(300, 'a') + "\", \"b\"]]\n", "t"); });
  REQUIRE(long_word.size() == 1);
  CHECK(holds(long_word[0].message, "names no part and no place"));
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
