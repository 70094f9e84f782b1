#include "libloop/files/csv.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

namespace libloop::files {
namespace {

using Texts = std::vector<std::vector<std::string>>;

Texts texts_of(const std::string& text) {
  Texts texts;
  for (const CsvRow& row : read_csv(Source(text, "t", most_csv_mebibytes))) {
    texts.emplace_back();
    for (const CsvCell& cell : row) texts.back().push_back(cell.text);
  }
  return texts;
}

// "line:column+length" of every cell.
std::vector<std::string> places_of(const std::string& text) {
  const Source source(text, "t");
  std::vector<std::string> places;
  for (const CsvRow& row : read_csv(source)) {
    for (const CsvCell& cell : row) {
      const Place place = source.at(cell.span.offset, cell.span.length);
      places.push_back(std::to_string(place.line) + ":" + std::to_string(place.column) + "+" +
                       std::to_string(place.length));
    }
  }
  return places;
}

Problem problem_of(const std::string& text) {
  try {
    texts_of(text);
  } catch (const InputError& error) {
    REQUIRE(error.problems().size() == 1);
    return error.problems().front();
  }
  return {};
}

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

// The examples of RFC 4180 (2005), section 2, rules 1 to 7.
TEST_CASE("the examples of RFC 4180 are read") {
  const Texts two = {{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}};
  CHECK(texts_of("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n") == two);                          // rule 1
  CHECK(texts_of("aaa,bbb,ccc\r\nzzz,yyy,xxx") == two);                              // rule 2
  CHECK(texts_of("\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx") == two);                  // rule 5
  const Texts broken = {{"aaa", "b\r\nbb", "ccc"}, {"zzz", "yyy", "xxx"}};           // rule 6
  CHECK(texts_of("\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx") == broken);           //
  CHECK(texts_of("\"aaa\",\"b\"\"bb\",\"ccc\"") == Texts{{"aaa", "b\"bb", "ccc"}});  // rule 7
}

TEST_CASE("comments, empty lines, blanks and a byte order mark are left out") {
  CHECK(texts_of("\xEF\xBB\xBF# a, \"comment\n\n  \t\na,b\n   # more\n\r\n 1 ,\t2 \n#") ==
        Texts{{"a", "b"}, {"1", "2"}});
  CHECK(texts_of("").empty());
  CHECK(texts_of("\n\n").empty());
  // Within quotes all of them count.
  CHECK(texts_of("\" a \",\"# b\"\n\"#c\n\n#d\",e") == Texts{{" a ", "# b"}, {"#c\n\n#d", "e"}});
  CHECK(texts_of("a,# b") == Texts{{"a", "# b"}});
}

TEST_CASE("cells may be empty, and rows unlike in length") {
  CHECK(texts_of(",\na,,\n\"\"\n") == Texts{{"", ""}, {"a", "", ""}, {""}});
  CHECK(texts_of("a,") == Texts{{"a", ""}});
}

TEST_CASE("every cell knows where it stands") {
  CHECK(places_of("# x\n a ,\"b\"\"c\"\r\n\n,µm,d") ==
        std::vector<std::string>{"2:2+1", "2:5+6", "4:1+1", "4:2+2", "4:6+1"});
  CHECK(places_of("a,\nb") == std::vector<std::string>{"1:1+1", "1:3+1", "2:1+1"});
}

TEST_CASE("quotes out of place are told where they stand") {
  const Problem open = problem_of("a,b\n1,\"2\n3,4\n");
  CHECK(open.code == Code::syntax);
  CHECK(open.place.line == 2);
  CHECK(open.place.column == 3);
  CHECK(holds(open.message, "a quote opens here"));
  // The next quote, far away, must not bear the blame.
  const Problem swallowed = problem_of("a,b\n1,\"2\n3,\"4\"\n");
  CHECK(swallowed.place.line == 2);
  CHECK(swallowed.place.column == 3);
  const Problem inside = problem_of("a,b\n1,2\"\n");
  CHECK(inside.place.line == 2);
  CHECK(inside.place.column == 4);
  CHECK(holds(inside.message, "not in quotes"));
  const Problem behind = problem_of("a\n\"1\"2\n");
  CHECK(behind.place.column == 4);
  CHECK(holds(behind.message, "after its closing quote"));
}

TEST_CASE("a bare carriage return is refused, and what follows it is not printed") {
  const Problem bare = problem_of("a,b\r1,2\r");
  CHECK(bare.code == Code::syntax);
  CHECK(bare.place.text == "a,b");
  CHECK(bare.describe().find('\r') == std::string::npos);
}

TEST_CASE("a file has so many rows, cells and bytes, and no more") {
  std::string rows;
  for (std::size_t i = 0; i < most_csv_rows; ++i) rows += "1\n";
  CHECK(texts_of(rows).size() == most_csv_rows);
  const Problem row = problem_of(rows + "2\n");
  CHECK(row.code == Code::bounds);
  CHECK(row.place.line == static_cast<int>(most_csv_rows) + 1);

  const std::string line(49999, ',');  // 50,000 cells
  std::string cells;
  for (int i = 0; i < 20; ++i) cells += line + "\n";
  CHECK(texts_of(cells).size() == 20);
  const Problem cell = problem_of(cells + "1\n");
  CHECK(cell.code == Code::bounds);
  CHECK(cell.place.line == 21);

  const std::string comments = "# " + std::string(1022, '-') + "\n";
  std::string large;
  while (large.size() <= most_csv_mebibytes * mebibyte) large += comments;
  const Problem byte = problem_of(large);
  CHECK(byte.code == Code::file);
  CHECK(holds(byte.suggestion, "10 MiB"));
}

}  // namespace
}  // namespace libloop::files
