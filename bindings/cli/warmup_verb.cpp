// libloop warmup: how long a tester must wait, and what makes it long.
#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <optional>

#include "bindings/cli/assumed.hpp"
#include "bindings/cli/duty_lists.hpp"
#include "bindings/cli/overrides.hpp"
#include "bindings/cli/patience.hpp"
#include "bindings/cli/terminal.hpp"
#include "bindings/cli/values.hpp"
#include "bindings/cli/verbs.hpp"
#include "libloop/base/text.hpp"
#include "libloop/files/read_profile.hpp"
#include "libloop/quantity/unit.hpp"
#include "libloop/report/warmup.hpp"

namespace libloop::cli {
namespace {

struct WarmupCall {
  std::string cooler, bench, profile;
  DutyLists lists;
  std::string soak, soak_fan, duration, every;
  std::vector<std::string> bands, habits, settings;
  WarmupPredictOptions options;
  report::SeriesOptions series;
  bool json = false, csv = false, strict = false;
};

constexpr const char* footer =
    "Waits count from the start, from the end of --soak, or from the last row of --profile.\n"
    "Times take s, min and h (\"20 min\"); a bare number is in s. --soak starts from where a load\n"
    "before has settled. --profile moves load, speeds, ambient and others along the rows of a CSV\n"
    "file; what it does not move comes from the other options, one value each.\n"
    "\n"
    "Examples:\n"
    "  libloop warmup dense.toml --load 90,180 --fan \"100 %, 60 %\"\n"
    "  libloop warmup dense.toml --load 180 --soak 60 --band 1,0.2 --habit \"0.2 K/5 min\"\n"
    "  libloop warmup dense.toml --profile work-and-rest.csv --every \"5 s\" --csv\n";

// ---- values of options

std::vector<double> bands_of(const std::vector<std::string>& lists) {
  std::vector<double> bands;
  for (const std::string& list : lists) {
    for (const std::string& piece : text::split(list, ',')) {
      if (text::trim(piece).empty()) {
        fail_call(fmt::format("--band {}: an empty value", list), "Divide values by one comma.");
      }
      bands.push_back(value_of("--band", piece, "K"));
    }
  }
  return bands;
}

Habit habit_of(const std::string& word) {
  const std::vector<std::string> halves = text::split(word, '/');
  if (halves.size() != 2) {
    fail_call(fmt::format("--habit {}: a change and a time are needed", word),
              "Write the change, a slash, the time: \"0.5 K/1 min\".");
  }
  return {value_of("--habit", halves[0], "K"), value_of("--habit", halves[1], "s")};
}

double time_of(const std::string& option, const std::string& word) {
  constexpr double shortest = 1e-3, longest = 1e8;  // s
  const double seconds = value_of(option, word, "s");
  if (seconds >= shortest && seconds <= longest) return seconds;
  fail_call(fmt::format("{} {}: out of bounds", option, word), "Between 0.001 s and 1e8 s.");
}

void read_options(WarmupCall& call) {
  check_samples(call.options.samples);
  if (!call.bands.empty()) call.options.bands = bands_of(call.bands);
  if (!call.habits.empty()) call.options.habits.clear();
  for (const std::string& word : call.habits) call.options.habits.push_back(habit_of(word));
  if (!call.duration.empty()) call.options.run.duration = time_of("--duration", call.duration);
  if (!call.every.empty()) call.series.every = time_of("--every", call.every);
}

// ---- cases

// The duty of a row; what the profile does not move stays as in `duty`.
Duty duty_at(const Profile& profile, std::size_t row, Duty duty) {
  const auto take = [&](const char* name, double& value) {
    const auto column = std::find(profile.names.begin(), profile.names.end(), name);
    if (column == profile.names.end()) return;
    value = profile.values[static_cast<std::size_t>(column - profile.names.begin())][row];
  };
  take("conditions.load", duty.load);
  take("conditions.ambient", duty.ambient);
  take("conditions.altitude", duty.altitude);
  take("conditions.fan", duty.fan);
  take("conditions.pump", duty.pump);
  return duty;
}

bool has_column(const Profile& profile, const char* name) {
  return std::find(profile.names.begin(), profile.names.end(), name) != profile.names.end();
}

Duty only_duty(const DutyLists& lists, const Cooler& cooler) {
  const std::vector<Duty> all = duties(lists, cooler);
  if (all.size() == 1) return all.front();
  fail_call(fmt::format("{} points, where one is meant", all.size()),
            "Give one load, one fan speed and one pump speed.");
}

// What a soak says of itself: its load, and its fans when they run otherwise than later.
struct Soak {
  std::optional<Duty> duty;
  bool own_fan = false;

  Start before(const Duty& begin) const {
    if (!duty) return {};
    Duty soak = begin;
    soak.load = duty->load;
    if (own_fan) soak.fan = duty->fan;
    return {soak};
  }
};

// Read as --load and --fan are; faults are told by the names of its own options.
Soak soak_of(const WarmupCall& call, const Cooler& cooler) {
  if (call.soak.empty()) {
    if (!call.soak_fan.empty()) fail_call("--soak-fan requires --soak", "Give the load, too.");
    return {};
  }
  DutyLists lists;
  lists.load = {call.soak};
  if (!call.soak_fan.empty()) lists.fan = {call.soak_fan};
  try {
    return {only_duty(lists, cooler), !call.soak_fan.empty()};
  } catch (const WrongCall& error) {
    std::vector<Problem> problems = error.problems();
    for (Problem& problem : problems) {
      std::string& words = problem.message;
      if (words.rfind("--load", 0) == 0) {
        words.replace(0, 6, "--soak");
      } else if (words.rfind("--fan", 0) == 0) {
        words.replace(0, 5, "--soak-fan");
      } else {
        words = "--soak: " + words;
      }
    }
    throw WrongCall(std::move(problems));
  }
}

void need_load(const DutyLists& lists) {
  if (!lists.load.empty()) return;
  fail_call("--load is required", "Only a --profile with a column of loads goes without.");
}

std::vector<WarmupCase> steady_cases(const WarmupCall& call, const Model& model) {
  need_load(call.lists);
  const Soak soak = soak_of(call, model.cooler());
  std::vector<WarmupCase> cases;
  for (const Duty& duty : duties(call.lists, model.cooler())) {
    cases.push_back({steady(duty), soak.before(duty), duty});
  }
  tell_usual_bench(call.bench);
  tell_usual_ambient(!call.lists.ambient.empty());
  return cases;
}

void check_duration(const WarmupCall& call, const Profile& profile) {
  const double duration = call.options.run.duration;
  if (duration == 0.0 || duration > profile.end()) return;
  fail_call(fmt::format("--duration {}: the profile is not over by then", call.duration),
            fmt::format("Its last row stands at {}; take longer, or leave the option out.",
                        show(profile.end(), "s", 6)));
}

// What the profile moves has no second value.
void check_said_once(const DutyLists& lists, const Profile& profile) {
  const auto refuse = [&](const char* option, const char* name, bool given) {
    if (!given || !has_column(profile, name)) return;
    fail_call(fmt::format("{}: the profile has a column for it", option),
              "Leave out one of the two.");
  };
  refuse("--load", "conditions.load", !lists.load.empty());
  refuse("--fan", "conditions.fan", !lists.fan.empty());
  refuse("--pump", "conditions.pump", !lists.pump.empty());
  refuse("--ambient", "conditions.ambient", !lists.ambient.empty());
  refuse("--altitude", "conditions.altitude", !lists.altitude.empty());
}

std::vector<WarmupCase> profile_case(const WarmupCall& call, const Model& model) {
  std::vector<std::string> notes;
  const Profile profile = read_profile(call.profile, model, &notes);
  check_said_once(call.lists, profile);
  check_duration(call, profile);
  DutyLists lists = call.lists;
  if (has_column(profile, "conditions.load")) lists.load = {"0"};  // its first row follows
  need_load(lists);
  const Duty given = only_duty(lists, model.cooler());
  const Duty first = duty_at(profile, 0, given);
  const Duty last = duty_at(profile, profile.times.size() - 1, given);
  const Start start = soak_of(call, model.cooler()).before(first);
  for (const std::string& assumed : notes) note(assumed);
  tell_usual_bench(call.bench);
  tell_usual_ambient(!call.lists.ambient.empty() || has_column(profile, "conditions.ambient"));
  return {{profile, start, last}};
}

// ---- exit codes

bool has_answer(const WarmupPoint& point) {
  return point.typical && point.typical->summary().usable &&
         point.typical->settled().summary.usable;
}

bool within_validity(const WarmupPoint& point) {
  const auto outside = [](const Note& note) { return note.kind == Note::Kind::validity; };
  const std::vector<Note>& settled = point.typical->settled().notes;
  const std::vector<Note>& way = point.typical->notes();
  return std::none_of(settled.begin(), settled.end(), outside) &&
         std::none_of(way.begin(), way.end(), outside);
}

int outcome(const WarmupCall& call, const WarmupPrediction& prediction) {
  const std::vector<WarmupPoint>& points = prediction.points;
  if (!std::all_of(points.begin(), points.end(), has_answer)) {
    complain(points.size() == 1 ? "this warm-up has no answer; it says why"
                                : "some warm-ups have no answer; they say why");
    return no_answer;
  }
  if (call.strict && !std::all_of(points.begin(), points.end(), within_validity)) {
    complain("some points lie outside the range of a law (--strict); the notes say which");
    return outside_validity;
  }
  return done;
}

int run(WarmupCall call) {
  read_options(call);
  Cooler cooler = cooler_named(call.cooler);
  Bench bench = bench_or_usual(call.bench);
  set_all(call.settings, &cooler, &bench);
  const Model model(cooler, bench, usual_cells);
  const std::vector<WarmupCase> cases =
      call.profile.empty() ? steady_cases(call, model) : profile_case(call, model);
  WarmupPrediction prediction;
  {
    const Patience patience("warming up");
    prediction = predict_warmup(model, cases, call.options);
  }
  if (call.json) {
    print(report::json(model, prediction, call.series));
  } else if (call.csv) {
    print(report::csv(model, prediction, call.series));
  } else {
    print_text(report::text(model, prediction));
  }
  return outcome(call, prediction);
}

// ---- options

void add_duty_options(CLI::App& verb, WarmupCall& call) {
  add_repeated(verb, "--load", call.lists.load, "Heat loads in W, divided by commas")
      ->type_name("LOADS");
  add_repeated(verb, "--fan", call.lists.fan, "Fan speeds, divided by commas (left out: 100 %)")
      ->type_name("SPEEDS");
  add_repeated(verb, "--pump", call.lists.pump, "Pump speeds, divided by commas (left out: 100 %)")
      ->type_name("SPEEDS");
  verb.add_option("--ambient", call.lists.ambient, "Air at the intake, in C (left out: 25 C)")
      ->type_name("TEMPERATURE");
  verb.add_option("--altitude", call.lists.altitude, "Height above the sea, in m (left out: 0 m)")
      ->type_name("HEIGHT");
}

void add_start_options(CLI::App& verb, WarmupCall& call) {
  verb.add_option("--soak", call.soak,
                  "Load in W that settled before (left out: all starts at ambient)")
      ->type_name("LOAD");
  verb.add_option("--soak-fan", call.soak_fan, "Fan speed of the soak (left out: the same)")
      ->type_name("SPEED");
  verb.add_option("--profile", call.profile, "A CSV file that says what moves in time")
      ->type_name("CSV");
  verb.add_option("--duration", call.duration,
                  "Follow it for so long from the start (left out: until it has settled)")
      ->type_name("TIME");
}

void add_wait_options(CLI::App& verb, WarmupCall& call) {
  add_repeated(verb, "--band", call.bands,
               "Bands around the settled value in K (left out: 1, 0.5, 0.1)")
      ->type_name("BANDS");
  add_repeated(verb, "--habit", call.habits,
               "End the wait when the reading moved by no more than\n"
               "\"0.5 K/1 min\" (repeatable; left out: this and 0.1 K/2 min)")
      ->type_name("CHANGE/TIME");
}

void add_output_options(CLI::App& verb, WarmupCall& call) {
  verb.add_option("--samples", call.options.samples,
                  "Samples drawn: 50 or more, or 0 for typical values only")
      ->type_name("NUMBER")
      ->capture_default_str();
  verb.add_option("--every", call.every,
                  "Time between rows of the series (left out: 1 s; at most 3600 rows)")
      ->type_name("TIME");
  CLI::Option* json = verb.add_flag("--json", call.json, "One JSON object, series included");
  verb.add_flag("--csv", call.csv, "The series, one row a time")->excludes(json);
  verb.add_flag("--strict", call.strict, "Exit 5 when a law is used outside its range");
}

}  // namespace

void add_warmup(CLI::App& app, Action& action) {
  auto call = std::make_shared<WarmupCall>();
  CLI::App* verb = app.add_subcommand(
      "warmup", "How long to wait until readings have settled, and what makes it long");
  verb->footer(footer);
  verb->add_option("cooler", call->cooler, "Cooler file")->required()->type_name("COOLER");
  verb->add_option("--bench", call->bench, "Bench file or " + text::list(generic_benches(), "or"))
      ->type_name("BENCH");
  add_duty_options(*verb, *call);
  add_start_options(*verb, *call);
  add_wait_options(*verb, *call);
  add_repeated(*verb, "--set", call->settings, "Override a quantity of the files")
      ->type_name("PART.NAME=VALUE");
  add_output_options(*verb, *call);
  verb->callback([call, &action] { action = [call] { return run(*call); }; });
}

}  // namespace libloop::cli
