#include "libloop/report/prediction.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <limits>

#include "libloop/base/text.hpp"
#include "libloop/part/catalogue.hpp"
#include "libloop/report/table.hpp"

namespace libloop::report {
namespace {

Cooler example(const char* title) {
  Cooler cooler;
  cooler.title = title;
  cooler.fans.emplace_back(table_of("fan"));
  cooler.set("radiator.class", "280");
  cooler.set("fan.count", "2");
  cooler.set("fan.rated_speed", "1700 rpm");
  return cooler;
}

bool has(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

void check_width(const std::string& text) {
  for (const std::string& line : text::split(text, '\n')) {
    CAPTURE(line);
    CHECK(text::width(line) <= page_width);
  }
}

TEST_CASE("the text opens with the answer and ends with what to mind") {
  const Model model(example("Invented"), generic_bench("one-large-die"));
  const std::vector<Duty> duties = {{.load = 180}, {.load = 180, .fan = 0.5}};
  const std::string out = text(model, predict(model, duties, {.samples = 40}));
  CHECK(out.rfind("At 180 W and fans at 50 % (850 rpm), the hottest of 2 points, the chip", 0) ==
        0);
  CHECK(has(out.substr(0, out.find("\n\n")), "5-95 %)."));
  CHECK(has(out, "What matters most for the rise at 180 W and fans at 50 % (850 rpm)\n"));
  const std::size_t points = out.find("\nPoints"), budget = out.find("\nWhere the kelvins go");
  const std::size_t matters = out.find("\nWhat matters most"), mind = out.find("\nBefore you run");
  CHECK(points < budget);
  CHECK(budget < matters);
  CHECK(matters < mind);
  CHECK(mind != std::string::npos);
  CHECK(has(out, "  bench     assumed"));
  CHECK(has(out, "  cooler    assumed"));
  CHECK(has(out, "Doubts of bench and law mostly drop out when coolers are compared."));
  CHECK(has(out, "Glycol is harmful if swallowed"));
  check_width(out);
}

TEST_CASE("limits stand right below the answer") {
  const Model model(example("Invented"), generic_bench("one-large-die"));
  const std::vector<Duty> duties = {{.load = 100}, {.load = 600}};
  const std::string out = text(model, predict(model, duties, {.samples = 10}));
  const std::size_t caution = out.find("\nCAUTION  the hottest point of the chip");
  CHECK(caution != std::string::npos);
  CHECK(caution < out.find("\nPoints"));
}

TEST_CASE("what only some samples pass is loud, too") {
  const Model model(example("Invented"), generic_bench("one-large-die"));
  const std::vector<Duty> duties = {{.load = 100}, {.load = 120}};
  Prediction prediction = predict(model, duties, {.samples = 10});
  CHECK_FALSE(has(text(model, prediction), "CAUTION"));
  prediction.points[0].above_limit = 0.04;
  prediction.points[1].above_limit = 0.12;
  const std::string one = text(model, prediction);
  CHECK(has(one,
            "\nCAUTION  may pass the chip's limit of 95 C: 12 % of the samples do; do not run "
            "this point"));
  CHECK(one.find("\nCAUTION") < one.find("\nPoints"));
  check_width(one);
  prediction.points[0].above_limit = 0.05;
  CHECK(has(text(model, prediction), "5 to 12 % of the samples do; do not run these points"));
  CHECK(has(json(model, prediction), "\"share_above_limit\": 0.12"));
  // Above the limit at typical values, the limit itself is told instead.
  prediction.points[1].typical.chip_temperature = 400.0;
  CHECK(has(text(model, prediction), ": 5 % of the samples do"));
}

TEST_CASE("without samples the text says so and shows no ranges") {
  const Model model(example("Invented"), generic_bench("one-large-die"));
  const std::vector<Duty> duties = {{.load = 180}};
  const std::string out = text(model, predict(model, duties, {.samples = 0}));
  CHECK(has(out, "(typical values only)."));
  CHECK_FALSE(has(out, "5 to 95 %\n"));
}

TEST_CASE("a point without an answer keeps its place and gives no numbers") {
  const Model model(example("Invented"), generic_bench("one-large-die"));
  const std::vector<Duty> duties = {{.load = 180}, {.load = 90}};
  Prediction prediction = predict(model, duties, {.samples = 10});
  PredictedPoint& point = prediction.points.front();
  point.typical.summary.usable = false;
  point.typical.summary.why = "an invented reason";
  point.typical.answer.fill(std::numeric_limits<double>::quiet_NaN());
  point.typical.budget.fill(std::numeric_limits<double>::infinity());

  const std::string words = text(model, prediction);
  CHECK(words.rfind("At 180 W and full fans there is no answer: an invented reason.", 0) == 0);
  CHECK(has(words, "no answer (180 W, fans 100 %): an invented reason."));
  CHECK_FALSE(has(words, "nan"));
  CHECK_FALSE(has(words, "inf"));

  const std::string object = json(model, prediction);
  CHECK(has(object, "\"usable\": false"));
  CHECK(has(object, "\"why\": \"an invented reason\""));
  CHECK(has(object, "\"p50\": null"));

  const std::string rows = csv(model, prediction);
  CHECK_FALSE(has(rows, "nan"));
  CHECK(has(rows, "false,an invented reason"));
  CHECK(std::count(rows.begin(), rows.end(), '\n') == 3);
}

TEST_CASE("a comparison opens with the difference, in words that have no sign") {
  const Bench bench = generic_bench("one-large-die");
  Cooler slow = example("Slow");
  slow.set("fan.free_flow", "40 m3/h");
  slow.set("fan.static_pressure", "6 Pa");
  Cooler fast = example("Fast");
  fast.set("fan.free_flow", "200 m3/h");
  fast.set("fan.static_pressure", "40 Pa");
  const Model one(fast, bench), two(slow, bench);
  const std::vector<Duty> duties = {{.load = 200}};
  const PredictOptions options{.samples = 60};
  const std::string cooler = text(one, two, compare(one, two, duties, duties, options));
  CHECK(cooler.rfind("At 200 W and full fans 'Fast' runs ", 0) == 0);
  CHECK(has(cooler, " K cooler than 'Slow' ("));
  CHECK(cooler.find("\nDifference") < cooler.find("\nPoints"));
  CHECK(cooler.find("drawn independently") > cooler.find("\nPoints of 'Slow'"));
  const std::string warmer = text(two, one, compare(two, one, duties, duties, options));
  CHECK(has(warmer, " K warmer than 'Fast' ("));
  check_width(cooler);
}

TEST_CASE("two coolers alike cannot be told apart, and their names can") {
  const Model model(example("Same"), generic_bench("one-large-die"));
  const std::vector<Duty> duties = {{.load = 200}};
  const std::string out =
      text(model, model, compare(model, model, duties, duties, {.samples = 100}));
  CHECK(has(out, "'Same' (first) and 'Same' (second) cannot be told"));
}

TEST_CASE("CSV has one cell of each head in every row") {
  const Model model(example("In, vented"), generic_bench("one-large-die"));
  const std::vector<Duty> duties = {{.load = 180}, {.load = 90, .fan = 0.4, .pump = 0.5}};
  const Comparison comparison = compare(model, model, duties, duties, {.samples = 10});
  const auto commas = [](const std::string& line) {
    return std::count(line.begin(), line.end(), ',');
  };
  for (const std::string& table : {csv(model, comparison.cooler), csv(model, model, comparison)}) {
    const std::vector<std::string> lines = text::split(table, '\n');
    REQUIRE(lines.size() == 4);
    CHECK(commas(lines[1]) == commas(lines[0]));
    CHECK(commas(lines[2]) == commas(lines[0]));
  }
}

}  // namespace
}  // namespace libloop::report
