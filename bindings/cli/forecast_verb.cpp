// libloop forecast: where a reading will settle, and how long it is worth waiting.
#include <fmt/format.h>

#include <chrono>
#include <filesystem>
#include <memory>
#include <optional>
#include <thread>

#include "bindings/cli/assumed.hpp"
#include "bindings/cli/forecast_teller.hpp"
#include "bindings/cli/forecaster.hpp"
#include "bindings/cli/picture_options.hpp"
#include "bindings/cli/reading_options.hpp"
#include "bindings/cli/terminal.hpp"
#include "bindings/cli/values.hpp"
#include "bindings/cli/verbs.hpp"
#include "libloop/base/text.hpp"
#include "libloop/evidence/step_readings.hpp"
#include "libloop/quantity/unit.hpp"
#include "libloop/report/forecast.hpp"

namespace libloop::cli {
namespace {

using Clock = std::chrono::steady_clock;
using Seconds = std::chrono::duration<double>;

struct ForecastCall {
  std::string log, ambient, within, time_limit, poll;
  std::optional<int> step;
  ForecastQuestion question;
  ReadingOptions reading;
  PictureCall picture;
  bool follow = false, until_settled = false, bell = false, json = false, csv = false;

  bool follows() const { return follow || until_settled; }
};

constexpr double usual_limit = 3600.0;  // s

constexpr const char* footer =
    "The answer is one line: stop, wait so long, or cannot tell yet and why. With --cooler and\n"
    "--bench it rests on warm-ups of that loop, and tells sooner; without, on exponentials.\n"
    "--follow reads what a growing log gains and tells each change of the verdict; --csv and\n"
    "--json then give one row, or one object in one line, each time. --until-settled follows and\n"
    "ends with exit code 0 when the verdict is stop, 4 when --time-limit comes first.\n"
    "It watches a log, not the machine: it switches nothing off. Never run a load unattended\n"
    "without the chip's own protection; the makers' instructions count.\n"
    "\n"
    "Examples:\n"
    "  libloop forecast running.csv\n"
    "  libloop forecast running.csv --cooler dense.toml --bench thick-lid --within 0.3\n"
    "  libloop forecast running.csv --until-settled --time-limit \"30 min\" --bell && "
    "./next-load\n";

// ---- following

void draw_picture(const ForecastCall& call, report::PictureOptions picture, const Log& log,
                  const Step& step, const report::ToldForecast& told) {
  if (call.picture.path.empty()) return;
  picture.ambient = call.question.ambient;
  const Log shown = until(log, step);
  report::draw(report::log_chart(shown, nullptr, &told.forecast, picture), call.picture.path);
}

// What a logger has not begun yet is waited for.
bool is_there(const std::string& path) {
  std::error_code nothing;
  return std::filesystem::exists(path, nothing);
}

int follow(const ForecastCall& call, Forecaster& forecaster, const LogChoice& choice,
           const report::PictureOptions& picture) {
  const double limit = call.time_limit.empty()
                           ? usual_limit
                           : value_between("--time-limit", call.time_limit, "s", 0.0, 1e8);
  const bool endless = !call.until_settled && call.time_limit.empty();
  const double poll =
      call.poll.empty() ? 1.0 : value_between("--poll", call.poll, "s", 0.01, 3600.0);
  if (call.until_settled && call.time_limit.empty()) {
    note(fmt::format("no --time-limit given: ending after {} at the latest",
                     show(usual_limit, "min")));
  }
  const Clock::time_point start = Clock::now();
  GrowingLog growing(call.log, choice);
  std::optional<report::ToldForecast> told;
  bool there = is_there(call.log);
  if (!there) note(fmt::format("{} is not there yet: waiting for it", call.log));
  {
    ForecastTeller teller(call.json  ? ForecastTeller::Form::json
                          : call.csv ? ForecastTeller::Form::csv
                                     : ForecastTeller::Form::text,
                          call.bell);
    for (;;) {
      there = there || is_there(call.log);
      if (there && growing.update() && !growing.log().empty()) {
        told = forecaster.look(growing.log());
        teller.tell(*told);
      }
      if (call.until_settled && teller.stopped()) break;
      const double spent = Seconds(Clock::now() - start).count();
      if (!endless && spent >= limit) break;
      std::this_thread::sleep_for(Seconds(endless ? poll : std::min(poll, limit - spent)));
    }
  }
  if (told) draw_picture(call, picture, growing.log(), forecaster.step(), *told);
  if (!there && !call.until_settled) growing.update();  // throws: there is no such file
  const bool settled = told && told->forecast.verdict == Verdict::stop;
  if (!call.until_settled || settled) return done;
  complain(fmt::format("not settled within {}{}", show(limit, "min"),
                       told    ? ""
                       : there ? "; the log has no row"
                               : "; there is no such log"));
  return no_answer;
}

int once(const ForecastCall& call, Forecaster& forecaster, const LogChoice& choice,
         const report::PictureOptions& picture) {
  const Log log = read_watched(call.log, choice);
  const report::ToldForecast told = forecaster.look(log);
  draw_picture(call, picture, log, forecaster.step(), told);
  if (call.json) {
    print(report::json(told));
  } else if (call.csv) {
    print(report::forecast_csv_head() + report::forecast_csv_row(told));
  } else {
    print_text(report::text(told));
  }
  return done;
}

// ---- the call

void check(const ForecastCall& call) {
  const auto needs = [](const char* option, const std::string& value, const char* other) {
    if (value.empty()) return;
    fail_call(fmt::format("{} requires {}", option, other), "Give both, or none.");
  };
  if (!call.follows()) {
    needs("--time-limit", call.time_limit, "--follow or --until-settled");
    needs("--poll", call.poll, "--follow or --until-settled");
    needs("--bell", call.bell ? "given" : "", "--follow or --until-settled");
  }
  if (call.question.cooler.empty()) {
    needs("--bench", call.question.bench, "--cooler");
    for (const auto& [option, list] : {std::pair{"--load", &call.question.lists.load},
                                       std::pair{"--fan", &call.question.lists.fan},
                                       std::pair{"--pump", &call.question.lists.pump}}) {
      if (!list->empty()) needs(option, "given", "--cooler");
    }
  }
  if (call.step && *call.step < 1) {
    fail_call(fmt::format("--step {}: steps count from 1", *call.step),
              "Left out, the last is taken.");
  }
  if (call.step && call.follows()) {
    fail_call("--step excludes --follow", "A log is followed in its last step.");
  }
}

int run(ForecastCall call) {
  check(call);
  const report::PictureOptions picture = picture_options(call.picture);
  const LogChoice choice = log_choice(call.reading);
  const DeclaredChannel& air = declared(Channel::ambient);
  call.question.ambient = value_given("--ambient", call.ambient, "C", air.min, air.max);
  call.question.within =
      value_given("--within", call.within, "K", 0.01, 100.0).value_or(call.question.within);
  call.question.step = call.step.value_or(0);
  Forecaster forecaster(call.question);
  tell_no_limit(call.question.bench, forecaster.limit().has_value());
  return call.follows() ? follow(call, forecaster, choice, picture)
                        : once(call, forecaster, choice, picture);
}

void add_physics_options(CLI::App& verb, ForecastQuestion& question) {
  verb.add_option("--cooler", question.cooler, "Cooler file: forecast from its physics")
      ->type_name("COOLER");
  verb.add_option("--bench", question.bench, "Bench file or " + text::list(generic_benches(), "or"))
      ->type_name("BENCH");
  add_repeated(verb, "--load", question.lists.load, "Heat load in W (left out: the log's)")
      ->type_name("LOAD");
  add_repeated(verb, "--fan", question.lists.fan, "Fan speed (left out: the log's, or 100 %)")
      ->type_name("SPEED");
  add_repeated(verb, "--pump", question.lists.pump, "Pump speed (left out: the log's, or 100 %)")
      ->type_name("SPEED");
}

void add_follow_options(CLI::App& verb, ForecastCall& call) {
  verb.add_flag("--follow", call.follow, "Read on as the log grows");
  verb.add_flag("--until-settled", call.until_settled, "Follow, and end when the verdict is stop");
  verb.add_option("--time-limit", call.time_limit,
                  "Follow for so long (left out: 60 min with --until-settled)")
      ->type_name("TIME");
  verb.add_option("--poll", call.poll, "Look at the log so often (left out: 1 s)")
      ->type_name("TIME");
  verb.add_flag("--bell", call.bell, "Ring the terminal's bell when the verdict becomes stop");
}

}  // namespace

void add_forecast(CLI::App& app, Action& action) {
  auto call = std::make_shared<ForecastCall>();
  CLI::App* verb =
      app.add_subcommand("forecast", "Where a running log will settle: stop, or wait so long");
  verb->footer(footer);
  verb->add_option("log", call->log, "A log, as loggers write it")->required()->type_name("LOG");
  add_physics_options(*verb, call->question);
  verb->add_option("--ambient", call->ambient, "Air at the intake in C, instead of a column")
      ->type_name("TEMPERATURE");
  verb->add_option("--step", call->step, "Which step of the log (left out: the last)")
      ->type_name("NUMBER");
  verb->add_option("--limit", call->question.limit,
                   "Where the chip lowers its power, in C: cautions go by it (left out:\n"
                   "chip.limit of a bench file)")
      ->type_name("TEMPERATURE");
  verb->add_option("--within", call->within,
                   "Stop when the settled value is known so well, in K (left out: 0.5 K)")
      ->type_name("BAND");
  add_follow_options(*verb, *call);
  add_reading_options(*verb, call->reading, true);
  add_picture_options(*verb, call->picture, "Draw the log and where it is going");
  CLI::Option* json = verb->add_flag("--json", call->json, "One JSON object");
  verb->add_flag("--csv", call->csv, "One row")->excludes(json);
  verb->callback([call, &action] { action = [call] { return run(*call); }; });
}

}  // namespace libloop::cli
