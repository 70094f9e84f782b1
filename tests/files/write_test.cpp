#include "libloop/files/write.hpp"

#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>
#include <string>

#include "libloop/files/read.hpp"
#include "libloop/part/catalogue.hpp"

namespace libloop {
namespace {

using Given = std::vector<std::pair<std::string, std::string>>;

const Given some = {{"radiator.class", "240"},        {"radiator.fin_density", "20 fpi"},
                    {"radiator.core_depth", "19 mm"}, {"fan.count", " 2 "},
                    {"fan.free_flow", "60 cfm"},      {"pump.shutoff_head", "1.5 m"},
                    {"coolant.kind", "water"}};

TEST_CASE("a new cooler file gives back exactly what was given") {
  const std::string title = "A \"dense\" core,\n\\ and a tab\t";
  const Cooler cooler = parse_cooler(new_cooler(title, some), "new");
  CHECK(cooler.title == title);
  std::set<std::string> given;
  for (const Sheet* sheet : cooler.sheets()) {
    for (const Row& row : sheet->table().rows) {
      if (sheet->given(row.name)) given.insert(sheet->path() + "." + row.name);
    }
  }
  std::set<std::string> expected;
  for (const auto& [path, value] : some) expected.insert(path);
  CHECK(given == expected);
  CHECK(cooler.the("fan").count("count") == 2);
  CHECK(cooler.the("radiator").typical("fin_density") == 20 / 0.0254);
  CHECK(cooler.the("coolant").choice("kind") == "water");
}

TEST_CASE("a new cooler file shows every row of every table") {
  const std::string text = new_cooler("t", {{"radiator.class", "240"}});
  std::string flat = text;  // without the breaks inside comments
  for (std::size_t at = 0; (at = flat.find("\n# ", at)) != std::string::npos;) {
    flat.replace(at, 3, " ");
  }
  for (const char* kind : {"radiator", "fan", "pump", "tube", "cold_plate", "coolant"}) {
    const Table& table = table_of(kind);
    CHECK(text.find("[" + table.kind + "]") != std::string::npos);
    for (const Row& row : table.rows) {
      CAPTURE(row.name);
      if (table.kind == "tube" && row.name == "count") continue;
      const bool comment = text.find("\n# " + row.name + " = ") != std::string::npos;
      const bool line = text.find("\n" + row.name + " = ") != std::string::npos;
      CHECK((comment || line));
      CHECK(flat.find(row.meaning) != std::string::npos);
    }
  }
  CHECK(text.find("# 0.2 to 0.4 mm. Wall of a flat tube.\n") != std::string::npos);
  CHECK(text.find("\n# Gap between two tubes that a row of fins fills.\n# fin_height = ") !=
        std::string::npos);
  CHECK(text.find("from thickness less frame_allowance") != std::string::npos);
}

TEST_CASE("a new cooler file is a sealed loop") {
  const std::string text = new_cooler("t", {{"radiator.class", "240"}});
  for (const char* kind : {"reservoir", "fitting", "opening", "shroud", "case", "network"}) {
    CHECK(text.find("[" + std::string(kind) + "]") == std::string::npos);
  }
  const std::string tube = text.substr(text.find("[tube]"));
  CHECK(tube.substr(0, tube.find("[cold_plate]")).find("count") == std::string::npos);
}

TEST_CASE("every usual value can be made a real line") {
  std::string text = new_cooler("t", {{"radiator.class", "240"}});
  for (std::size_t at = text.find("\n# "); at != std::string::npos;
       at = text.find("\n# ", at + 1)) {
    const std::string line = text.substr(at + 1, text.find('\n', at + 1) - at - 1);
    const bool row = line.find(" = ") < line.find("  # ") && line.find("  # ") != std::string::npos;
    if (row && line.find("...") == std::string::npos) text.erase(at + 1, 2);
  }
  const Cooler cooler = parse_cooler(text, "new");
  CHECK(cooler.the("radiator").given("fin_height"));
  CHECK(cooler.the("coolant").given("reserve"));
}

TEST_CASE("what cannot be is not written") {
  const auto code = [](const Given& given) {
    try {
      new_cooler("t", given);
    } catch (const InputError& error) {
      return std::string(word(error.code()));
    }
    return std::string("none");
  };
  CHECK(code({}) == "missing");
  CHECK(code({{"radiator.clas", "240"}}) == "unknown");
  CHECK(code({{"class", "240"}}) == "unknown");
  CHECK(code({{"fan.1.count", "2"}}) == "unknown");
  CHECK(code({{"reservoir.volume", "0.2 L"}}) == "unknown");
  CHECK(code({{"radiator.class", "240"}, {"tube.count", "3"}}) == "conflict");
  CHECK(code({{"radiator.class", "240"}, {"fan.count", "3"}}) == "conflict");
  CHECK(code({{"radiator.class", "240"}, {"radiator.class", "280"}}) == "duplicate");
  CHECK(code({{"radiator.class", "240"}, {"pump.shutoff_head", "1 Pa"}}) == "dimension");
}

TEST_CASE("a new file never overwrites another") {
  namespace fs = std::filesystem;
  const fs::path folder = fs::temp_directory_path() / "libloop_write_test";
  fs::remove_all(folder);
  fs::create_directory(folder);
  const std::string path = (folder / "a.toml").string();
  write_new_file(path, "one\n");
  CHECK_THROWS_AS(write_new_file(path, "two\n"), InputError);
  std::ifstream stream(path);
  CHECK(std::string(std::istreambuf_iterator<char>(stream), {}) == "one\n");
  CHECK_THROWS_AS(write_new_file((folder / "none" / "a.toml").string(), "x"), InputError);
  CHECK(std::distance(fs::directory_iterator(folder), fs::directory_iterator()) == 1);
  fs::remove_all(folder);
}

}  // namespace
}  // namespace libloop
