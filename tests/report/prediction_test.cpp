#include "libloop/report/prediction.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <limits>

#include "libloop/base/text.hpp"
#include "libloop/files/read.hpp"
#include "libloop/report/table.hpp"

namespace libloop::report {
namespace {

Cooler example(const char* title) {
  Cooler cooler;
  cooler.title = title;
  cooler.add("fan");
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
  prediction.points[1].typical.margin = -1.0;
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

TEST_CASE("coolers drawn together say so") {
  const Model model(example("Same"), generic_bench("one-large-die"));
  const std::vector<Duty> duties = {{.load = 200}};
  const Comparison comparison =
      compare(model, model, duties, duties, {.samples = 50, .alike = true});
  const std::string together = text(model, model, comparison, true);
  CHECK(has(together, "what both have by one name"));
  CHECK_FALSE(has(together, "drawn independently"));
  CHECK(has(together, "'Same' (second) do not differ."));
  CHECK(has(json(model, model, comparison, true), "\"alike\": true"));
  CHECK(has(json(model, model, comparison), "\"alike\": false"));
}

TEST_CASE("a note names a part of a network once") {
  const Cooler loop =
      read_cooler(std::string(LIBLOOP_SOURCE) + "/examples/stacked-back-first.toml");
  const std::vector<Duty> duties = {{.load = 180}};
  const auto told = [&](const Cooler& cooler, const char* part, const char* words) {
    const Model model(cooler, generic_bench("one-large-die"));
    Prediction prediction = predict(model, duties, {.samples = 0});
    prediction.points.front().typical.notes = {{Note::Kind::state, "invented", words, part}};
    const std::string out = text(model, prediction);
    const std::size_t from = out.find("  - state: "), to = out.find(" (180 W", from);
    return from == std::string::npos ? "" : out.substr(from + 11, to - from - 11);
  };
  CHECK(told(loop, "fan.1", "air blows back") == "fan.1: air blows back");
  CHECK(told(loop, "pump", "it moves nothing") == "pump: it moves nothing");
  CHECK(told(loop, "pump", "the pump moves nothing") == "the pump moves nothing");
  CHECK(told(loop, "cold_plate", "the cold plate boils") == "the cold plate boils");
  CHECK(told(loop, "tube.link", "tube.link is empty") == "tube.link is empty");
  CHECK(told(loop, "tube.link", "not tube.linked") == "tube.link: not tube.linked");
  CHECK(told(loop, "chip", "no load") == "no load");
  CHECK(told(example("Sealed"), "pump", "it moves nothing") == "it moves nothing");
}

TEST_CASE("two coolers alike cannot be told apart, and their names can") {
  const Model model(example("Same"), generic_bench("one-large-die"));
  const std::vector<Duty> duties = {{.load = 200}};
  const std::string out =
      text(model, model, compare(model, model, duties, duties, {.samples = 100}));
  CHECK(has(out, "'Same' (first) and 'Same' (second) cannot be told"));
}

// A second chip and a second radiator, invented, at every point.
void add_second(Prediction& prediction) {
  for (PredictedPoint& point : prediction.points) {
    OperatingPoint& typical = point.typical;
    typical.chips.push_back(typical.chips.front());
    typical.chips.front().name = "chip.first";
    typical.chips.back().name = "chip.second";
    typical.chips.back().limit = 300.15;
    typical.margin = -1.0;
    typical.radiators.push_back(typical.radiators.front());
    typical.radiators.back().name = "radiator.second";
    point.chip_rise.push_back({51.0, 61.0, 71.0, 60.0});
    point.radiator_conductance.push_back({3.0, 4.0, 5.0, 4.0});
  }
}

// The lines of one table: from its head to the next empty line.
std::string table_of(const std::string& text, const std::string& head) {
  const std::size_t from = text.find('\n' + head);
  return from == std::string::npos ? "" : text.substr(from, text.find("\n\n", from) - from);
}

TEST_CASE("tables of points tell the pump as soon as its speed differs") {
  const Model model(example("Same"), generic_bench("one-large-die"));
  const std::vector<Duty> full = {{.load = 180}, {.load = 90}};
  const std::vector<Duty> slow = {{.load = 180}, {.load = 180, .pump = 0.5}};
  const auto told = [&](const std::vector<Duty>& duties, const std::vector<Duty>& others) {
    Comparison comparison = compare(model, model, duties, others, {.samples = 50});
    add_second(comparison.cooler);
    return text(model, model, comparison);
  };
  const std::string one = told(full, full), two = told(slow, slow), unlike = told(slow, full);
  for (const char* head : {"Difference", "Points", "Chips", "Radiators", "Where the kelvins of"}) {
    CAPTURE(head);
    CHECK_FALSE(table_of(two, head).empty());
    CHECK_FALSE(has(table_of(one, head), "pump "));
  }
  for (const char* head : {"Difference", "Points", "Chips", "Radiators"}) {
    CAPTURE(head);
    CHECK(has(table_of(two, head), " pump "));
  }
  CHECK(has(table_of(unlike, "Difference"), "pump,   pump,"));
  // Too many columns for one table: the others stand below, with the speeds again.
  const std::vector<Duty> others = {{.load = 180, .fan = 0.9}, {.load = 180, .fan = 0.9}};
  const std::string wide = told(slow, others);
  const std::string below = wide.substr(0, wide.find("\nPoints"));
  CHECK(below.find("  load  first  second  first  second") !=
        below.rfind("  load  first  second  first  second"));
  check_width(wide);
  CHECK_FALSE(has(table_of(two, "Difference"), "pump,"));
  check_width(two);
  check_width(unlike);
}

TEST_CASE("several chips and radiators are told one by one") {
  const Model model(example("Invented"), generic_bench("one-large-die"));
  const std::vector<Duty> duties = {{.load = 180}, {.load = 90}};
  Prediction prediction = predict(model, duties, {.samples = 10});
  const std::string one = text(model, prediction);
  CHECK_FALSE(has(one, "\nChips"));
  CHECK_FALSE(has(one, "\nRadiators"));
  add_second(prediction);
  const std::string out = text(model, prediction);
  CHECK(has(out, "full fans, the hottest of 2 points, chip.first reads "));
  CHECK(has(out.substr(0, out.find("\n\n")), "; chip.second 61 K (51 to 71 K)."));
  const std::size_t points = out.find("\nPoints, rise and coolant flow of chip.first: median");
  const std::size_t chips = out.find("\nChips, typical"),
                    radiators = out.find("\nRadiators, typical");
  const std::size_t budgets = out.find("\nWhere the kelvins of each chip go at 180 W");
  const std::size_t budget = out.find("\nWhere the kelvins of chip.first go");
  CHECK(points < chips);
  CHECK(chips < radiators);
  CHECK(radiators < budgets);
  CHECK(budgets < budget);
  CHECK(budget != std::string::npos);
  check_width(out);
}

TEST_CASE("of many chips the budgets stand below each other, and the page holds them") {
  const Model model(example("Invented"), generic_bench("one-large-die"));
  const std::vector<Duty> duties = {{.load = 180}};
  Prediction prediction = predict(model, duties, {.samples = 10});
  add_second(prediction);
  for (int i = 0; i < 8; ++i) {
    PredictedPoint& point = prediction.points.front();
    point.typical.chips.push_back(point.typical.chips.back());
    point.typical.chips.back().name = "chip.number_" + std::to_string(i);
    point.chip_rise.push_back(point.chip_rise.back());
  }
  const std::string out = text(model, prediction);
  CHECK(has(out, "number_7"));
  CHECK_FALSE(has(out, "\nWhere the kelvins of chip.first go"));
  check_width(out);
}

TEST_CASE("a chance to pass a limit names the chip that is nearest") {
  const Model model(example("Invented"), generic_bench("one-large-die"));
  const std::vector<Duty> duties = {{.load = 100}};
  Prediction prediction = predict(model, duties, {.samples = 10});
  add_second(prediction);
  prediction.points.front().typical.margin = 1.0;
  prediction.points.front().above_limit = 0.2;
  CHECK(has(text(model, prediction),
            "may pass a chip's limit (the nearest is that of chip.second, 27 C): 20 % of"));
}

TEST_CASE("JSON tells every chip, radiator and part") {
  const Model model(example("Invented"), generic_bench("one-large-die"));
  const std::vector<Duty> duties = {{.load = 180}};
  Prediction prediction = predict(model, duties, {.samples = 10});
  const std::string out = json(model, prediction);
  for (const char* key :
       {"chips", "radiators", "parts", "heat_W", "intake_K", "hottest_K", "limit_C",
        "temperature_C", "stream", "flow_kg_per_s", "drop_Pa", "pressure_Pa", "entering_C"}) {
    CAPTURE(key);
    CHECK(has(out, '"' + std::string(key) + "\": "));
  }
  prediction.points.front().typical.summary.usable = false;
  CHECK(has(json(model, prediction), "\"heat_W\": null"));
}

TEST_CASE("CSV has columns for each chip and radiator when there are several") {
  const Model model(example("Invented"), generic_bench("one-large-die"));
  const std::vector<Duty> duties = {{.load = 180}, {.load = 90}};
  Comparison comparison = compare(model, model, duties, duties, {.samples = 10});
  CHECK_FALSE(has(csv(model, comparison.cooler), "chip."));
  add_second(comparison.cooler);
  const std::string one = csv(model, comparison.cooler), both = csv(model, model, comparison);
  CHECK(has(one, ",chip.second.rise_K_p50,"));
  CHECK(has(one, ",radiator.second.radiator_conductance_W_per_K_typical\n"));
  CHECK_FALSE(has(both, "against_chip"));
  for (const std::string& table : {one, both}) {
    const std::vector<std::string> lines = text::split(table, '\n');
    REQUIRE(lines.size() == 4);
    for (const std::string& line : lines) {
      if (line.empty()) continue;
      CHECK(std::count(line.begin(), line.end(), ',') ==
            std::count(lines[0].begin(), lines[0].end(), ','));
    }
  }
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
