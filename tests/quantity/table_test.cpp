#include "libloop/quantity/table.hpp"

#include <doctest/doctest.h>

#include <string>

#include "libloop/base/error.hpp"

namespace libloop {
namespace {

// A part of our own with one row of every type.
template <class T>
struct Kettle {
  T wall{};
  Override<T> volume;
  Nominal rating;
  Count handles;
  Choice lid;
  Curve boil;
  T fill{};

  template <class Self, class Visit>
  static void describe(Self& self, Visit&& visit) {
    visit(self.wall, Declared{.name = "wall",
                              .unit = "mm",
                              .low = 0.8,
                              .typical = 1,
                              .high = 1.5,
                              .min = 0.2,
                              .max = 5,
                              .transform = Transform::log,
                              .source = "judgement",
                              .meaning = "Thickness of the wall."});
    visit(self.volume, DeclaredOverride{.name = "volume",
                                        .unit = "L",
                                        .min = 0.1,
                                        .max = 5,
                                        .rule = "size",
                                        .meaning = "Volume."});
    visit(self.rating, DeclaredNominal{.name = "rating",
                                       .unit = "C",
                                       .typical = 95,
                                       .min = 30,
                                       .max = 150,
                                       .meaning = "Highest temperature."});
    visit(self.handles,
          DeclaredCount{.name = "handles", .typical = 1, .min = 0, .max = 2, .meaning = ""});
    visit(self.lid, DeclaredChoice{.name = "lid", .words = {"hinged", "loose"}, .meaning = ""});
    visit(self.boil, DeclaredCurve{.name = "boil",
                                   .x_unit = "L/min",
                                   .y_unit = "Pa",
                                   .x_name = "flow",
                                   .y_name = "pressure",
                                   .meaning = ""});
    visit(self.fill, Declared{.name = "fill",
                              .unit = "1",
                              .low = 0.5,
                              .typical = 0.7,
                              .high = 0.9,
                              .min = 0.1,
                              .max = 1,
                              .transform = Transform::logit,
                              .source = "judgement",
                              .meaning = "Share that is filled."});
  }
};

const Table& kettle() {
  static const Table table = make_table<Kettle<double>>("kettle");
  return table;
}

template <class Step>
Problem problem_of(const Step& step) {
  try {
    step();
  } catch (const InputError& error) {
    return error.problems().front();
  }
  FAIL("no error");
  return {};
}

TEST_CASE("a table holds what is declared, in SI") {
  REQUIRE(kettle().rows.size() == 7);
  const Row& wall = kettle().rows[0];
  CHECK(wall.range.typical == doctest::Approx(0.001));
  CHECK(wall.max == doctest::Approx(0.005));
  CHECK(wall.continuous());
  CHECK(kettle().find("rating")->range.typical == doctest::Approx(368.15));
  CHECK_FALSE(kettle().find("lid")->continuous());
  CHECK(kettle().find("spout") == nullptr);
}

TEST_CASE("a sheet starts with what is usual") {
  const Sheet sheet(kettle(), "big");
  CHECK(sheet.path() == "kettle.big");
  CHECK(Sheet(kettle()).path() == "kettle");
  CHECK(sheet.typical("wall") == doctest::Approx(0.001));
  CHECK(sheet.count("handles") == 1);
  CHECK(sheet.choice("lid") == "hinged");
  CHECK_FALSE(sheet.given("wall"));
  CHECK(sheet.continuous() == std::vector<std::size_t>{0, 6});
}

TEST_CASE("values of every type can be given") {
  Sheet sheet(kettle());
  sheet.set("wall", "1.2 mm");
  CHECK(sheet.entry("wall").range.exact());
  CHECK(sheet.typical("wall") == doctest::Approx(0.0012));
  sheet.set("wall", "1 mm", "1.1 mm", "1.3 mm");
  CHECK(sheet.entry("wall").range.high == doctest::Approx(0.0013));
  sheet.set("volume", "1.7 L");
  CHECK(sheet.continuous() == std::vector<std::size_t>{0, 1, 6});
  sheet.set("rating", "100 C");
  CHECK(sheet.typical("rating") == doctest::Approx(373.15));
  sheet.set("handles", "2");
  sheet.set_count("handles", 0);
  CHECK(sheet.count("handles") == 0);
  sheet.set("lid", "loose");
  CHECK(sheet.choice("lid") == "loose");
  sheet.set_curve("boil", {{0, 20}, {1, 10}, {2, 0}});
  REQUIRE(sheet.entry("boil").curve.points);
  CHECK(sheet.entry("boil").curve.points->at(1.0) == doctest::Approx(10.0));
  for (const Row& row : kettle().rows) {
    if (row.name != "fill") CHECK(sheet.given(row.name));
  }
}

TEST_CASE("a struct is taken from its sheet") {
  Sheet sheet(kettle());
  sheet.set("volume", "2 L");
  sheet.set_count("handles", 2);
  sheet.set("lid", "loose");
  const double numbers[] = {0.0011, 0.002, 0.8, 42.0};
  const double* next = numbers;
  const Kettle<double> made = take<Kettle, double>(sheet, next);
  CHECK(made.wall == 0.0011);
  CHECK(made.volume.given);
  CHECK(made.volume.or_else(9.0) == 0.002);
  CHECK(made.fill == 0.8);
  CHECK(made.handles.value == 2);
  CHECK(made.lid == 1);
  CHECK(made.rating.value == doctest::Approx(368.15));
  CHECK_FALSE(made.boil.points);
  CHECK(*next == 42.0);
}

TEST_CASE("faults are told apart") {
  Sheet sheet(kettle());
  const auto code = [&](const char* row, const char* value) {
    return problem_of([&] { sheet.set(row, value); }).code;
  };
  CHECK(code("wal", "1 mm") == Code::unknown);
  CHECK(code("wall", "1") == Code::unit);
  CHECK(code("wall", "1 W") == Code::dimension);
  CHECK(code("wall", "6 mm") == Code::bounds);
  CHECK(code("wall", "-1 mm") == Code::bounds);
  CHECK(code("handles", "2 pieces") == Code::kind);
  CHECK(code("handles", "1.5") == Code::kind);
  CHECK(code("handles", "3") == Code::bounds);
  CHECK(code("lid", "hingd") == Code::unknown);
  CHECK(code("boil", "1 Pa") == Code::kind);
  CHECK_FALSE(sheet.given("wall"));  // a fault leaves the sheet as it was
  CHECK(problem_of([&] { sheet.set("wal", "1 mm"); }).suggestion == "Did you mean 'wall'?");
  CHECK(problem_of([&] { sheet.set("lid", "hingd"); }).suggestion == "Did you mean 'hinged'?");
  CHECK(problem_of([&] { sheet.set_count("wall", 3); }).suggestion ==
        "Write it in quotes with its unit, \"3 mm\".");
  CHECK(problem_of([&] { sheet.set_count("fill", 1); }).suggestion == "Write it in quotes, \"1\".");
  CHECK(problem_of([&] { sheet.set_count("lid", 1); }).suggestion ==
        "Write hinged or loose in quotes.");
}

TEST_CASE("ranges must rise and lie within their bounds") {
  Sheet sheet(kettle());
  const auto code = [&](const char* low, const char* typical, const char* high) {
    return problem_of([&] { sheet.set("fill", low, typical, high); }).code;
  };
  CHECK(code("0.9", "0.7", "0.5") == Code::order);
  CHECK(code("0.5", "0.5", "0.7") == Code::order);
  CHECK(code("0.5", "0.7", "1") == Code::bounds);
  CHECK(code("0.5", "0.7", "1.2") == Code::bounds);
  CHECK(problem_of([&] { sheet.set("lid", "a", "b", "c"); }).code == Code::kind);
  CHECK(problem_of([&] { sheet.set("rating", "80 C", "90 C", "95 C"); }).code == Code::kind);
}

TEST_CASE("curves must be in order") {
  Sheet sheet(kettle());
  const auto code = [&](const Points& points) {
    return problem_of([&] { sheet.set_curve("boil", points); }).code;
  };
  CHECK(code({{0, 20}, {1, 10}}) == Code::missing);
  CHECK(code({{1, 20}, {2, 10}, {3, 0}}) == Code::order);
  CHECK(code({{0, 20}, {2, 10}, {1, 0}}) == Code::order);
  CHECK(code({{0, 20}, {1, 10}, {2, 10}}) == Code::order);
  CHECK(code({{0, 20}, {1, 10}, {2, 11}}) == Code::order);
  CHECK(code({{0, 0}, {1, 10}, {2, 0}}) == Code::bounds);
  CHECK(code({{0, 20}, {1, 10}, {2, -1}}) == Code::bounds);
  CHECK(problem_of([&] { sheet.set_curve("wall", {}); }).code == Code::kind);
}

TEST_CASE("a curve may rise in part and be flat in part") {
  Sheet sheet(kettle());
  CHECK_NOTHROW(sheet.set_curve("boil", {{0, 20}, {1, 21}, {2, 0}}));
  CHECK_NOTHROW(sheet.set_curve("boil", {{0, 20}, {1, 15}, {2, 15}, {3, 17}, {4, 2}}));
  const Problem problem = problem_of([&] {
    sheet.set_curve("boil", {{0, 20}, {0.001, 10}, {0.002, 11}});
  });
  CHECK(problem.message.find("point 3 of boil, the last: pressure does not fall") == 0);
  CHECK(problem.suggestion == "pressure may rise in part, but must fall to the last point.");
}

TEST_CASE("the faulty point of a curve is found") {
  CHECK_FALSE(faulty_point({{0, 20}, {1, 21}, {2, 0}}));
  CHECK(faulty_point({{0, 0}, {1, 21}, {2, 0}}) == 0u);
  CHECK(faulty_point({{0, 20}, {1, -1}, {2, 0}}) == 1u);
  CHECK(faulty_point({{0, 20}, {1, 21}, {1, 22}, {2, 0}}) == 2u);
  CHECK(faulty_point({{0, 20}, {1, 21}, {2, 21}}) == 2u);
}

}  // namespace
}  // namespace libloop
