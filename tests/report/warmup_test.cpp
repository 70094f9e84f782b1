#include "libloop/report/warmup.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <nlohmann/json.hpp>

#include "libloop/base/error.hpp"
#include "libloop/base/text.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/warmup_owners.hpp"
#include "libloop/report/warmup_series.hpp"
#include "libloop/report/warmup_words.hpp"
#include "support/told.hpp"

namespace libloop::report {
namespace {

using testing::has, testing::joined, testing::check_width;

using Json = nlohmann::json;

constexpr double never = std::numeric_limits<double>::infinity();

Model example(const char* bench = "one-large-die") {
  Cooler cooler;
  cooler.title = "Invented";
  cooler.add("fan");
  cooler.set("radiator.class", "280");
  cooler.set("fan.count", "2");
  cooler.set("fan.rated_speed", "1700 rpm");
  return Model(cooler, generic_bench(bench), usual_cells);
}

WarmupCase plain(const Duty& duty) { return {steady(duty), {}, duty}; }

WarmupPrediction predicted(const Model& model, std::vector<WarmupCase> cases, int samples = 0,
                           WarmupPredictOptions options = {}) {
  options.samples = samples;
  return predict_warmup(model, cases, options);
}

// A mode with invented owners.
SlowMode invented_mode() {
  SlowMode mode;
  mode.time_constant = 56.0;
  mode.amplitude = 4.1;
  mode.coolant_amplitude = 3.9;
  mode.stores = {{"coolant in the core of radiator", 0.55},
                 {"metal of the core of radiator", 0.31},
                 {"frame of radiator", 0.12},
                 {"spreader", 0.02}};
  mode.carries = {{"fins of radiator", -0.45},   {"air flow", -0.34},
                  {"tubes of radiator", -0.12},  {"coolant flow", -0.09},
                  {"film of cold_plate", -0.02}, {"leakage", 0.02}};
  return mode;
}

// ---- times

TEST_CASE("times read as a stopwatch tells them, rounded to a tenth of their doubt") {
  CHECK(time_words(0.0) == "0 s");
  CHECK(time_words(4.66) == "4.7 s");
  CHECK(time_words(47.4) == "47 s");
  CHECK(time_words(59.8) == "1 min");
  CHECK(time_words(159.0) == "2 min 39 s");
  CHECK(time_words(159.0, 140.0) == "2 min 40 s");
  CHECK(time_words(180.0) == "3 min");
  CHECK(time_words(7199.0) == "119 min 59 s");
  CHECK(time_words(7790.0) == "2 h 10 min");
  CHECK(time_words(7200.0) == "2 h");
  CHECK(time_words(159.0, never) == "2 min 39 s");
  CHECK(time_words(never) == "never");
  const Interval wait{101.0, 159.0, 241.0, 161.0};
  CHECK(time_range(wait, 600.0) == "1 min 40 s to 4 min");
  CHECK(clock(wait, wait.p50, 600.0) == "2:40");
  CHECK(clock_range(wait, 600.0) == "1:40 to 4:00");
  CHECK(habit_words({0.5, 60.0}) == "0.5 K in 1 min");
}

TEST_CASE("what does not come about while it was followed is longer than that") {
  const Interval wait{101.0, 159.0, never, 161.0};
  CHECK(time_range(wait, 600.0) == "1 min 40 s to more than 10 min");
  CHECK(clock_range(wait, 600.0) == "1:40 to >10:00");
  CHECK(clock({never, never, never, never}, never, 600.0) == ">10:00");
}

// ---- text

TEST_CASE("the text opens with the answer and ends with what to mind") {
  const Model model = example();
  const std::string out =
      text(model, predicted(model, {plain({.load = 180}), plain({.load = 180, .fan = 0.5})}, 20));
  CHECK(has(joined(out),
            "From ambient to 180 W and fans at 50 % (850 rpm), the slowest of 2 "
            "points, the reading stays within 0.5 K of its settled "));
  CHECK(
      has(joined(out.substr(0, out.find("\n\n"))), "; the quickest, 180 W and full fans, after "));
  CHECK(has(joined(out.substr(0, out.find("\n\n"))), "5-95 %)."));
  const std::size_t waits = out.find("\nWaits from the start on: median, and below it 5 to 95 %");
  const std::size_t creep = out.find("\nWhat creeps on at 180 W and fans at 50 % (850 rpm)");
  const std::size_t habits = out.find("\nHabits"), mind = out.find("\nBefore you run it");
  CHECK(waits < creep);
  CHECK(creep < habits);
  CHECK(habits < mind);
  CHECK(mind != std::string::npos);
  CHECK(has(out, "  start    all at ambient"));
  CHECK(has(out, "hot under load"));
  check_width(out);
}

TEST_CASE("the headline takes the band of 0.5 K, else the middle one") {
  const Model model = example();
  WarmupPredictOptions options;
  options.bands = {0.2, 2.0, 1.0, 4.0, 0.1};
  const WarmupPrediction prediction = predicted(model, {plain({.load = 180})}, 0, options);
  CHECK(options.bands[first_band(prediction)] == 1.0);
  const std::string out = text(model, prediction);
  CHECK(has(joined(out), "stays within 1 K of its settled"));
  // Five bands stand in two tables.
  CHECK(std::count(out.begin(), out.end(), '\n') > 30);
  for (const char* head : {"0.2 K", "2 K", "1 K", "4 K", "0.1 K"}) CHECK(has(out, head));
  check_width(out);
}

TEST_CASE("without samples there are no intervals") {
  const Model model = example();
  const std::string out = text(model, predicted(model, {plain({.load = 180})}));
  CHECK(has(joined(out), "(typical values only)."));
  CHECK_FALSE(has(out, "5 to 95 %"));
}

TEST_CASE("a soak is where it starts") {
  const Model model = example();
  WarmupCase asked = plain({.load = 180});
  asked.start.soak = Duty{.load = 60, .fan = 0.5};
  const std::string out = text(model, predicted(model, {asked}));
  CHECK(out.rfind("From a soak at 60 W and fans at 50 % (850 rpm) to 180 W and full fans, ", 0) ==
        0);
  CHECK(has(out, "\nWaits from the end of the soak on\n"));
  CHECK(has(out, "  start    settled at 60 W and fans at 50 % (850 rpm)"));
  check_width(out);
}

TEST_CASE("a profile counts from its last row and says what moves") {
  const Model model = example();
  WarmupCase asked;
  asked.profile = {
      {"conditions.load", "conditions.fan"}, {0.0, 600.0, 600.0}, {{40, 40, 180}, {1, 1, 1}}};
  asked.duty = {.load = 180};
  const WarmupPrediction prediction = predicted(model, {asked});
  const std::string out = text(model, prediction);
  CHECK(out.rfind("From the profile's last row on (180 W and full fans, at 10 min), ", 0) == 0);
  CHECK(has(out, "  profile  3 rows over 10 min; moving: conditions.load\n"));
  const Json json = Json::parse(report::json(model, prediction));
  CHECK(json["last_change_s"] == 600.0);
  CHECK(json["profile"]["rows"] == 3);
  CHECK(json["series"]["time_s"].back().get<double>() > 600.0);
  check_width(out);
}

TEST_CASE("what has settled from the start, and what has not by the end, is said so") {
  const Model model = example();
  const std::string still = text(model, predicted(model, {plain({.load = 0})}));
  CHECK(has(joined(still), "the reading is within 0.5 K of its settled 0.0"));
  CHECK(has(joined(still), " K from the start."));
  WarmupPredictOptions options;
  options.run.duration = 60.0;
  const WarmupPrediction cut = predicted(model, {plain({.load = 180})}, 20, options);
  const std::string out = text(model, cut);
  CHECK(has(joined(out), "the reading is not yet within 0.5 K of its settled "));
  CHECK(has(out, ">1:00"));
  CHECK_FALSE(has(out, "inf"));
  const Json json = Json::parse(report::json(model, cut));
  CHECK(json["usable"] == true);
  CHECK(json["settling"][1]["time_s"]["p50"].is_null());
  CHECK(json["series"]["time_s"].size() == 61);
  check_width(out);
}

TEST_CASE("limits stand right below the answer") {
  const Model model = example();
  const std::string out = text(model, predicted(model, {plain({.load = 600})}));
  const std::size_t caution = out.find("\nCAUTION  the hottest point of the chip");
  CHECK(caution != std::string::npos);
  CHECK(caution < out.find("\nWaits"));
}

TEST_CASE("a point without an answer keeps its place and gives no numbers") {
  Cooler cooler;
  cooler.add("fan");
  cooler.set("radiator.class", "280");
  Bench bench = generic_bench("one-large-die");
  bench.set("bench.load_at", "reference");
  bench.set("chip.leakage_slope", "1.9 %");
  const Model model(cooler, bench, usual_cells);
  const WarmupPrediction both = predicted(model, {plain({.load = 5000}), plain({.load = 20})}, 20);
  CHECK_FALSE(usable(both.points.front()));
  const std::string out = text(model, both);
  CHECK(has(joined(out), "the slowest with an answer (1 of 2 points have one)"));
  CHECK(has(out, "no answer (5000 W, fans 100 %)"));
  CHECK(has(out, "  doubt    20 samples"));
  const Json json = Json::parse(report::json(model, both));
  CHECK(json["usable"] == false);
  CHECK(json["why"] != "");
  CHECK(json["samples"] == 20);
  CHECK(json["settled_rise_K"]["p50"].is_null());
  CHECK(json["settling"].size() == 3);
  CHECK(json["settling"][0]["time_s"]["p50"].is_null());
  CHECK(json["more"][0]["usable"] == true);
  const std::string none = text(model, predicted(model, {plain({.load = 5000})}, 20));
  CHECK(none.rfind("From ambient to 5000 W and full fans there is no answer: ", 0) == 0);
  CHECK(has(none, "Before you run it"));
  for (const std::string& words : {out, none}) {
    CHECK_FALSE(has(words, "nan"));
    CHECK_FALSE(has(words, "inf"));
    check_width(words);
  }
}

TEST_CASE("no points and no time between rows are refused") {
  const Model model = example();
  CHECK_THROWS_AS(text(model, WarmupPrediction{}), InputError);
  CHECK_THROWS_AS(json(model, WarmupPrediction{}), InputError);
  CHECK_THROWS_AS(csv(model, WarmupPrediction{}), InputError);
  WarmupPrediction prediction = predicted(model, {plain({.load = 180})});
  for (const double every : {0.0, -1.0, never, std::nan("")}) {
    CHECK_THROWS_AS(csv(model, prediction, {every, 3600}), InputError);
  }
  prediction.bands.clear();
  CHECK_THROWS_AS(text(model, prediction), InputError);
}

// ---- owners

TEST_CASE("every owner that a circuit names has its group") {
  CHECK(store_group("coolant in tube.1") == "the coolant");
  CHECK(store_group("wall of reservoir") == "the metal it wets");
  CHECK(store_group("copper of cold_plate.left") == "the metal it wets");
  CHECK(store_group("dies of chip.graphics") == "the chip");
  CHECK(store_group("frame of radiator") == "the frame");
  CHECK(store_group("surroundings") == "board and surroundings");
  CHECK(store_group("walls of case") == "the rest");
  CHECK(carry_group("fins of radiator.front") == "fins and air flow");
  CHECK(carry_group("air flow") == "fins and air flow");
  CHECK(carry_group("chip, paste and base") == "plate, paste and chip");
  CHECK(carry_group("tanks of radiator to air") == "losses past the radiator");
  CHECK(carry_group("frame of radiator to air") == "the frame");
  CHECK(carry_group("frame link of radiator") == "the frame");
  CHECK(carry_group("leakage of chip") == "leakage");
  CHECK(carry_group("something new") == "the rest");
}

TEST_CASE("the words follow from the shares") {
  SlowMode mode = invented_mode();
  CHECK(store_words(mode) ==
        "coolant in the core of radiator 55 %, metal of the core of radiator 31 %, frame of "
        "radiator 12 %, other 2 %");
  // Leakage, a conductance below zero, and the film cancel in what is left.
  CHECK(carry_words(mode) ==
        "fins of radiator 45 %, air flow 34 %, tubes of radiator 12 %, coolant flow 9 %");
  CHECK(owner_sentences(mode) ==
        "Heat leaves the coolant (55 %), the metal it wets (31 %) and the frame (12 %) through "
        "fins and air flow (79 %) and tubes and coolant flow (21 %). Plate, paste and chip own "
        "2 %: a better plate does not settle sooner.");
  mode.carries[4].share = -0.12;
  CHECK(has(owner_sentences(mode), "own 12 %: a better plate settles a little sooner."));
  mode.carries[4].share = -0.32;
  CHECK(has(owner_sentences(mode), "own 32 %: a better plate settles sooner."));
  mode.carries[4].share = 0.15;
  CHECK(has(owner_sentences(mode), "own -15 %: a better plate settles later."));
  mode.stores.clear();
  CHECK(owner_sentences(mode).empty());
}

TEST_CASE("slow modes are told in full for the slowest point and in a line for the others") {
  const Model model = example();
  WarmupPrediction prediction =
      predicted(model, {plain({.load = 90}), plain({.load = 180, .fan = 0.5})});
  SlowMode small = invented_mode(), hidden = invented_mode(), swing = invented_mode();
  small.time_constant = 210.0;
  small.amplitude = 0.12;
  small.coolant_amplitude = 0.05;
  hidden.time_constant = 900.0;
  hidden.amplitude = 0.012;
  hidden.coolant_amplitude = 0.004;
  swing.time_constant = 3.1;
  swing.period = 8.0;
  swing.stores.clear();
  for (WarmupPoint& point : prediction.points) {
    point.slow = {{hidden, small, invented_mode(), swing}, 0.4, 4.2, 0.013};
  }
  const std::string out = text(model, prediction);
  CHECK(has(out, "\nSlow modes at 180 W and fans at 50 % (850 rpm), all quantities"));
  CHECK_FALSE(has(out, "900"));
  CHECK(has(out, "swings"));
  CHECK(has(out, "       210        0.12        0.05\n"));
  CHECK(has(joined(out), "Owners of 56 s store coolant in the core of radiator 55 %"));
  CHECK_FALSE(has(out, "Owners of 3.1 s"));  // it has none
  CHECK(has(out, "Owners of 210 s"));        // holds the reading out of 0.1 K
  // 210 s ln(0.12/0.5) is below nothing: the mode of 56 s is the last to leave the band.
  CHECK(has(joined(out), "The mode of 56 s decides the wait for 0.5 K. Heat leaves the coolant"));
  CHECK(has(joined(out),
            "off the full warm-up by 0.4 K at most, 4.2 s after the last change, and "
            "by 0.013 K at most from one minute on."));
  CHECK(has(joined(out), "90 W, fans 100 %: 210 s (0.12 K), 56 s (4.10 K), 3.1 s (4.10 K)"));
  check_width(out);
  const Json json = Json::parse(report::json(model, prediction));
  CHECK(json["modes"].size() == 4);
  CHECK(json["modes"][0]["period_s"].is_null());
  CHECK(json["modes"][3]["period_s"] == 8.0);
  CHECK(json["modes"][2]["owners"].size() == 10);
  CHECK(json["modes"][2]["owners"][0]["kind"] == "capacity");
  CHECK(json["modes"][2]["owners"][4]["kind"] == "conductance");
  CHECK(json["modes"][2]["owners"][4]["share"] == -0.45);
  CHECK(json["modal_error"]["after_a_minute_K"] == 0.013);
  for (WarmupPoint& point : prediction.points) point.slow = {};
  CHECK_FALSE(has(text(model, prediction), "Slow modes"));
}

// ---- series

TEST_CASE("rows of a series stand evenly, never too many, and end where the warm-up ends") {
  const Model model = example();
  const WarmupPrediction prediction = predicted(model, {plain({.load = 180})});
  const WarmupPoint& point = prediction.points.front();
  const double end = point.typical->end();
  const Series fine = series_of(point, {1.0, 3600});
  CHECK(fine.times[1] == 1.0);
  CHECK(fine.times.back() == end);
  CHECK(fine.times.size() == static_cast<std::size_t>(std::ceil(end)) + 1);
  for (const int most : {2, 7, 100}) {
    const Series coarse = series_of(point, {1.0, most});
    CHECK(coarse.times.size() <= static_cast<std::size_t>(most));
    if (coarse.times.size() > 2) CHECK(std::fmod(coarse.times[1], 1.0) == 0.0);
  }
  for (const SeriesColumn& column : fine.columns) {
    CHECK(column.values.size() == fine.times.size());
  }
  CHECK(fine.columns[0].values.back() == point.typical->at(Trace::rise, end));
  CHECK(fine.columns[2].values.back() ==
        doctest::Approx(60000.0 * point.typical->at(Trace::coolant_flow, end)));
}

TEST_CASE("the CSV has a head and a row a time, for every point") {
  const Model model = example();
  const WarmupPrediction prediction =
      predicted(model, {plain({.load = 180}), plain({.load = 90, .fan = 0.5})});
  const std::vector<std::string> lines = text::split(csv(model, prediction, {30.0, 3600}), '\n');
  CHECK(lines.front() ==
        "load_W,fan_fraction,pump_fraction,ambient_C,time_s,rise_K,coolant_rise_K,"
        "coolant_flow_L_per_min,air_flow_m3_per_h,heat_W");
  CHECK(lines[1].rfind("180,1,1,25,0,0,0,", 0) == 0);
  CHECK(lines[2].rfind("180,1,1,25,30,", 0) == 0);
  const auto second = std::find_if(lines.begin(), lines.end(), [](const std::string& line) {
    return line.rfind("90,0.5,1,25,0,", 0) == 0;
  });
  CHECK(second != lines.end());
  for (std::size_t i = 0; i + 1 < lines.size(); ++i) {
    CHECK(std::count(lines[i].begin(), lines[i].end(), ',') == 9);
  }
}

TEST_CASE("one chip has no column of its own, and heat that came in went out or stayed") {
  const Model model = example();
  const Json json = Json::parse(report::json(model, predicted(model, {plain({.load = 180})})));
  CHECK(json["series"].size() == 6);
  const Json& energy = json["energy"];
  CHECK(energy["in_J"].get<double>() ==
        doctest::Approx(energy["out_J"].get<double>() + energy["stored_J"].get<double>()));
}

}  // namespace
}  // namespace libloop::report
