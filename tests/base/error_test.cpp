#include "libloop/base/error.hpp"

#include <doctest/doctest.h>

#include <string>

namespace libloop {
namespace {

TEST_CASE("a problem tells place, line, mark and suggestion") {
  const Problem problem{Code::unknown,
                        "unknown unit 'mmm'",
                        "Did you mean 'mm'?",
                        {"a.toml", 3, 5, 8, "w = \"30 mmm\""}};
  CHECK(problem.describe() ==
        "a.toml:3:5: unknown unit 'mmm'\n"
        "    3 | w = \"30 mmm\"\n"
        "      |     ^^^^^^^^\n"
        "      Did you mean 'mm'?");
}

TEST_CASE("the mark stands below the fault after wide characters and tabs") {
  const Problem wide{Code::unit, "m", "", {"a", 1, 6, 1, "µµ = 5"}};  // column in bytes
  CHECK(wide.describe() == "a:1:6: m\n    1 | µµ = 5\n      |    ^");
  const Problem tab{Code::unit, "m", "", {"a", 1, 2, 1, "\tx"}};
  CHECK(tab.describe() == "a:1:2: m\n    1 | \tx\n      | \t^");
}

TEST_CASE("a problem without a place is its sentence") {
  CHECK(Problem{Code::call, "no such point", "", {}}.describe() == "no such point");
  CHECK(Problem{Code::missing, "no fan", "Add one.", {"a.toml", 0, 0, 1, ""}}.describe() ==
        "a.toml: no fan\n      Add one.");
}

TEST_CASE("an error holds all its problems, and says them all") {
  const InputError error({{Code::unit, "one", "", {}}, {Code::bounds, "two", "", {}}});
  CHECK(error.problems().size() == 2);
  CHECK(error.code() == Code::unit);
  CHECK(std::string(error.what()) == "one\ntwo");
}

TEST_CASE("every code has a word of its own") {
  std::string all;
  for (int i = 0; i <= static_cast<int>(Code::call); ++i) {
    const std::string each(word(static_cast<Code>(i)));
    CHECK_FALSE(each.empty());
    CHECK(all.find(each + ";") == std::string::npos);
    all += each + ";";
  }
  CHECK(word(Code::conflict) == "conflict");
}

}  // namespace
}  // namespace libloop
