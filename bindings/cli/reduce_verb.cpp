// libloop reduce: logs become points, with what each is worth.
#include <fmt/format.h>

#include <memory>
#include <optional>

#include "bindings/cli/assumed.hpp"
#include "bindings/cli/overrides.hpp"
#include "bindings/cli/patience.hpp"
#include "bindings/cli/picture_options.hpp"
#include "bindings/cli/reading_options.hpp"
#include "bindings/cli/terminal.hpp"
#include "bindings/cli/values.hpp"
#include "bindings/cli/verbs.hpp"
#include "libloop/base/text.hpp"
#include "libloop/evidence/instruments.hpp"
#include "libloop/files/read_measured.hpp"
#include "libloop/report/reduction.hpp"

namespace libloop::cli {
namespace {

struct ReduceCall {
  std::vector<std::string> logs;
  std::string bench, ambient, ambient_log, ambient_shift, noise, noise_distance, limit, coolant;
  std::string creep, shortest;
  report::TableWords words;
  ReadingOptions reading;
  PictureCall picture;
  bool json = false, csv = false;
};

constexpr const char* footer =
    "A log is cut where load, fans or pump jump; each step gives one point, the mean of its\n"
    "steady end. Columns are found by the words of the trade; --column and --unit settle what a\n"
    "file leaves open. --csv writes a table that 'libloop compare' reads. Doubts of the meters\n"
    "come from [instruments] of the bench file.\n"
    "Hot parts, leaks and a chip at its limit: the makers' instructions count.\n"
    "\n"
    "Examples:\n"
    "  libloop reduce monday.csv\n"
    "  libloop reduce monday.csv --ambient \"23 C\" --limit \"95 C\" --noise levels.csv \\\n"
    "      --picture monday.svg\n"
    "  libloop reduce monday.csv --cooler-title \"Invented 280\" --csv > measured.csv\n";

// "water", "30 % propylene glycol"
fluid::Liquid<double> coolant_of(const std::string& word) {
  using fluid::LiquidKind;
  const std::string trimmed(text::trim(word));
  if (trimmed == "water") return fluid::make_liquid(LiquidKind::water, 0.0);
  for (const auto& [name, kind] : {std::pair{"propylene glycol", LiquidKind::propylene_glycol},
                                   std::pair{"ethylene glycol", LiquidKind::ethylene_glycol}}) {
    const std::size_t at = trimmed.rfind(name);
    if (at == std::string::npos || at + std::string(name).size() != trimmed.size()) continue;
    constexpr double most = 0.6;  // the fit knows no more
    const std::string share(text::trim(trimmed.substr(0, at)));
    return fluid::make_liquid(kind, value_between("--coolant", share, "%", 0.0, most));
  }
  fail_call(fmt::format("--coolant {}: no coolant is called so", word),
            "Write \"water\", \"30 % propylene glycol\" or \"30 % ethylene glycol\" (by mass).");
}

// What options refer to, alive as long as they.
struct Beside {
  Log ambient;
  std::vector<Level> levels;
  std::vector<std::string> decisions;  // how those files were read

  void tell(const std::string& file, const std::vector<std::string>& how) {
    for (const std::string& one : how) decisions.push_back(file + ": " + one);
  }
};

ReduceOptions options_of(const ReduceCall& call, Beside& beside, const Instruments<double>& meters,
                         std::optional<double> limit) {
  ReduceOptions options;
  options.limit = limit;
  const DeclaredChannel& air = declared(Channel::ambient);
  options.ambient = value_given("--ambient", call.ambient, "C", air.min, air.max);
  if (!call.creep.empty()) {
    options.creep = value_between("--creep", call.creep, "K/min", 1e-6, 1.0);
  }
  if (!call.shortest.empty()) {
    options.shortest = value_between("--shortest", call.shortest, "s", 1.0, 1e5);
  }
  if (!call.coolant.empty()) options.coolant = coolant_of(call.coolant);
  const ReadingChoice choice = reading_choice(call.reading);
  if (!call.ambient_log.empty()) {
    LogChoice second;
    second.reading = choice;
    beside.ambient = read_watched(call.ambient_log, second);
    beside.tell(call.ambient_log, beside.ambient.decisions);
    options.ambient_log = &beside.ambient;
    if (!call.ambient_shift.empty()) {
      options.ambient_shift = value_between("--ambient-shift", call.ambient_shift, "s", -1e8, 1e8);
    }
  }
  if (!call.noise.empty()) {
    LevelOptions at;
    if (!call.noise_distance.empty()) {
      at.distance = value_between("--noise-distance", call.noise_distance, "m", 0.01, 100.0);
    }
    const LevelTable table = read_levels(call.noise, choice);
    beside.tell(call.noise, table.decisions);
    beside.levels = levels(table, meters, at);
    options.levels = &beside.levels;
  }
  return options;
}

void check(const ReduceCall& call) {
  if (call.words.mount < 1 || call.words.mount > 9999) {
    fail_call(fmt::format("--mount {}: out of bounds", call.words.mount), "Between 1 and 9999.");
  }
  if (!call.picture.path.empty() && call.logs.size() > 1) {
    fail_call("--picture takes one log", "Call once a log, with one picture each.");
  }
  if (!call.ambient_shift.empty() && call.ambient_log.empty()) {
    fail_call("--ambient-shift requires --ambient-log", "Give the second file, too.");
  }
}

void tell_usual_meters(const ReduceCall& call) {
  if (!call.bench.empty()) return;
  note("no --bench given: the meters may be off as [instruments] says they usually are");
}

std::vector<report::ReducedLog> reduced(const ReduceCall& call, const LogChoice& choice,
                                        const Instruments<double>& meters,
                                        const ReduceOptions& options) {
  std::vector<report::ReducedLog> all;
  for (const std::string& path : call.logs) {
    Log log = read_watched(path, choice);
    const Patience patience("reducing");
    Reduction reduction = reduce(log, meters, options);
    all.push_back({std::move(log), std::move(reduction)});
  }
  return all;
}

void draw_picture(const ReduceCall& call, report::PictureOptions picture,
                  const report::ReducedLog& one, const ReduceOptions& options) {
  if (call.picture.path.empty()) return;
  picture.ambient = options.ambient;
  report::draw(report::log_chart(one.log, &one.reduction, nullptr, picture), call.picture.path);
}

int run(const ReduceCall& call) {
  check(call);
  const report::PictureOptions picture = picture_options(call.picture);
  const LogChoice choice = log_choice(call.reading);
  const Bench bench = bench_or_usual(call.bench);
  const Instruments<double> meters = instruments(bench);
  const std::optional<double> limit = chip_limit(call.limit, call.bench, bench);
  Beside beside;
  const ReduceOptions options = options_of(call, beside, meters, limit);
  std::vector<report::ReducedLog> all = reduced(call, choice, meters, options);
  std::vector<std::string>& told = all.front().log.decisions;
  told.insert(told.end(), beside.decisions.begin(), beside.decisions.end());
  tell_usual_meters(call);
  tell_no_limit(call.bench, limit.has_value());
  draw_picture(call, picture, all.front(), options);
  if (call.json) {
    print(report::json(all));
  } else if (call.csv) {
    print(report::csv(all, call.words));
  } else {
    print_text(report::text(all));
  }
  for (const report::ReducedLog& one : all) {
    if (!one.reduction.points.empty()) return done;
  }
  complain("there is no point; the answer says why");
  return no_answer;
}

// ---- options

void add_measured_options(CLI::App& verb, ReduceCall& call) {
  verb.add_option("--bench", call.bench,
                  "Bench of the meters: a file,\n" + text::list(generic_benches(), "or"))
      ->type_name("BENCH");
  CLI::Option* ambient =
      verb.add_option("--ambient", call.ambient, "Air at the intake in C, instead of a column")
          ->type_name("TEMPERATURE");
  verb.add_option("--ambient-log", call.ambient_log,
                  "A second log that has it, joined by time of day, or from the start")
      ->type_name("LOG")
      ->excludes(ambient);
  verb.add_option("--ambient-shift", call.ambient_shift,
                  "Add so much to the clock of --ambient-log (\"-90 s\")")
      ->type_name("TIME");
  verb.add_option("--noise", call.noise, "Sound levels by fan speed, joined to the points")
      ->type_name("CSV");
  verb.add_option("--noise-distance", call.noise_distance,
                  "Tell levels at this distance (left out: 1 m)")
      ->type_name("DISTANCE");
  verb.add_option("--limit", call.limit,
                  "Where the chip lowers its power, in C (left out: chip.limit of a\nbench file)")
      ->type_name("TEMPERATURE");
  verb.add_option("--coolant", call.coolant,
                  "For the heat balance: \"30 % propylene glycol\" (left out: water)")
      ->type_name("COOLANT");
}

void add_window_options(CLI::App& verb, ReduceCall& call) {
  verb.add_option("--creep", call.creep,
                  "What a steady window may creep, in K/min (left out: 0.2 K/min)")
      ->type_name("RATE");
  verb.add_option("--shortest", call.shortest, "Its shortest time (left out: 60 s)")
      ->type_name("TIME");
  verb.add_option("--cooler-title", call.words.cooler,
                  "What --csv calls the cooler (left out: by its file)")
      ->type_name("TITLE");
  verb.add_option("--mount", call.words.mount, "Which mounting of it this was (left out: 1)")
      ->type_name("NUMBER");
}

}  // namespace

void add_reduce(CLI::App& app, Action& action) {
  auto call = std::make_shared<ReduceCall>();
  CLI::App* verb = app.add_subcommand(
      "reduce", "Measured logs to points: steady windows, means, and what each is worth");
  verb->footer(footer);
  verb->add_option("log", call->logs, "Logs, as loggers write them")->required()->type_name("LOG");
  add_measured_options(*verb, *call);
  add_window_options(*verb, *call);
  add_reading_options(*verb, call->reading, true);
  add_picture_options(*verb, call->picture, "Draw the log with its points");
  CLI::Option* json = verb->add_flag("--json", call->json, "One JSON object");
  verb->add_flag("--csv", call->csv, "One row a point: a table for 'compare'")->excludes(json);
  verb->callback([call, &action] { action = [call] { return run(*call); }; });
}

}  // namespace libloop::cli
