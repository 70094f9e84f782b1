#include "libloop/report/forecast.hpp"

#include <doctest/doctest.h>

#include <limits>
#include <nlohmann/json.hpp>

#include "libloop/base/text.hpp"
#include "libloop/report/table.hpp"
#include "support/told.hpp"

namespace libloop::report {
namespace {

using testing::has, testing::joined;

using Json = nlohmann::json;

ToldForecast invented() {
  ToldForecast told;
  Forecast& f = told.forecast;
  f.settled = {41.9, 42.3, 42.8, 42.3};
  f.now = 41.6;
  f.left = {0.4, 0.7, 1.1, 0.7};
  f.verdict = Verdict::stop;
  f.time_constant = 95.0;
  f.noise = 0.31;
  f.correlation_time = 4.0;
  f.step = 1.0;
  f.used = 380;
  told.file = "data/running.csv";
  told.step = 1;
  told.steps = 2;
  told.cut_by = "load from 90 to 180 W";
  told.begin = 1200.0;
  told.elapsed = 380.0;
  told.courses = "warm-ups of Invented 280 on thick-lid: 180 W (by the log)";
  told.rows = 1580;
  told.decisions = {"Time is in seconds"};
  told.left_out = {{1, "no time"}};
  return told;
}

TEST_CASE("the verdict is one line") {
  ToldForecast told = invented();
  Forecast& f = told.forecast;
  CHECK(verdict_line(f) == "Stop: settles at 42.30 K (41.90 to 42.80 K).");
  f.settled = {41.2, 42.3, 43.5, 42.3};
  CHECK(verdict_line(f) == "Stop: settles at 42.3 K (41.2 to 43.5 K).");
  f.allowance = 0.44;
  CHECK(has(verdict_line(f), "may add up to 0.4 K."));
  f.allowance = -0.44;
  CHECK(has(verdict_line(f), "may take off up to 0.4 K."));
  f.allowance = 0.02;
  CHECK(!has(verdict_line(f), "slow part"));
  f.verdict = Verdict::wait;
  f.wait = 238.0;
  f.why = "2.3 K may still come.";
  CHECK(verdict_line(f) == "Wait 4 min: 2.3 K may still come.");
  f.wait = 43.0;
  CHECK(has(verdict_line(f), "Wait 40 s: "));
  f.why.clear();
  CHECK(has(verdict_line(f), "Wait 40 s: on the way to 42.3 K (41.2 to 43.5 K)."));
  f.verdict = Verdict::cannot_tell;
  CHECK(verdict_line(f) == "Cannot tell yet: too little was read.");
  f.why = "the reading still bends";
  CHECK(verdict_line(f) == "Cannot tell yet: the reading still bends.");
}

TEST_CASE("the text says what the verdict stands on") {
  ToldForecast told = invented();
  const std::string all = text(told), flat = joined(all);
  CHECK(all.rfind("Stop: ", 0) == 0);
  for (const char* part :
       {"running.csv, step 2 of 2 (load from 90 to 180 W), 6 min 20 s into it, 380 readings",
        "41.6 K over ambient; still to come 0.70 K (0.40 to 1.10 K)",
        "warm-ups of Invented 280 on thick-lid", "time constant about",
        "0.31 K about the course, correlated over 4 s; read in steps of 1 K",
        "How the file was read", "no time"}) {
    CAPTURE(part);
    CHECK(has(flat, part));
  }
  for (const std::string& line : text::split(all, '\n')) CHECK(text::width(line) <= page_width);
  told.courses.clear();
  CHECK(has(text(told), "single exponentials"));
  told.forecast = {};
  told.forecast.why = "no reading yet";
  CHECK(has(text(told), "Cannot tell yet: no reading yet."));
  CHECK(!has(text(told), "over ambient"));
}

TEST_CASE("JSON, JSON in one line and CSV say the same") {
  ToldForecast told = invented();
  const Json all = Json::parse(json(told));
  CHECK(all["verdict"] == "stop");
  CHECK(all["wait_s"] == 0.0);
  CHECK(all["settled_rise_K"] == Json({{"p05", 41.9}, {"p50", 42.3}, {"p95", 42.8}}));
  CHECK(all["step"] == 2);
  CHECK(all["elapsed_s"] == 380.0);
  CHECK(all["physical"] == true);
  CHECK(all["left_out"][0]["count"] == 1);
  for (const char* key : {"why", "allowance_K", "now_K", "left_K", "within_K", "time_constant_s",
                          "noise_K", "correlation_time_s", "rounding_K", "readings", "decisions"}) {
    CAPTURE(key);
    CHECK(all.contains(key));
  }
  const std::string line = json_line(told);
  CHECK(line.find('\n') == line.size() - 1);
  CHECK(Json::parse(line) == all);
  const auto cells = text::split(forecast_csv_row(told), ',');
  CHECK(cells.size() == text::split(forecast_csv_head(), ',').size());
  CHECK(cells[1] == "stop");
  CHECK(cells[4] == "42.3");
}

TEST_CASE("what is not known is null or empty") {
  ToldForecast told = invented();
  told.forecast.verdict = Verdict::cannot_tell;
  CHECK(Json::parse(json(told))["wait_s"].is_null());
  told.forecast.verdict = Verdict::wait;
  told.forecast.wait = std::numeric_limits<double>::infinity();
  CHECK(Json::parse(json(told))["wait_s"].is_null());
  CHECK(has(verdict_line(told.forecast), "Wait long:"));
  told.forecast = {};
  const Json blank = Json::parse(json(told));
  CHECK(blank["settled_rise_K"]["p50"].is_null());
  CHECK(blank["now_K"].is_null());
  CHECK(!has(forecast_csv_row(told), "nan"));
}

TEST_CASE("what too few readings leave open is null, not nothing") {
  ToldForecast told = invented();
  told.forecast = {};
  told.forecast.used = 7;
  told.forecast.step = 1.0;
  const double none = std::numeric_limits<double>::quiet_NaN();
  told.forecast.settled = {none, none, none, none};
  told.forecast.now = none;
  const Json all = Json::parse(json(told));
  for (const char* key :
       {"time_constant_s", "noise_K", "allowance_K", "correlation_time_s", "now_K"}) {
    CAPTURE(key);
    CHECK(all[key].is_null());
  }
  CHECK(all["rounding_K"] == 1.0);
  CHECK(all["readings"] == 7);
  CHECK(!has(text(told), "nan"));
  CHECK(!has(text(told), "noise"));
}

TEST_CASE("cautions stand right below the verdict, and first in notes") {
  ToldForecast told = invented();
  CHECK(cautions(told).empty());
  told.cautions = {"the chip reads 93 C, its limit is 95 C: stop the load"};
  told.notes = {"another"};
  const std::string all = text(told);
  const auto verdict = all.find("Stop: "), loud = all.find("\n\nCAUTION  the chip reads 93 C");
  REQUIRE(loud != std::string::npos);
  CHECK(verdict < loud);
  CHECK(loud < all.find("  log "));
  CHECK(Json::parse(json(told))["notes"] == Json({told.cautions[0], "another"}));
}

}  // namespace
}  // namespace libloop::report
