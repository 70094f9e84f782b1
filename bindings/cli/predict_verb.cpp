// libloop predict: operating points with intervals, alone or against another cooler.
#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "bindings/cli/assumed.hpp"
#include "bindings/cli/duty_lists.hpp"
#include "bindings/cli/overrides.hpp"
#include "bindings/cli/patience.hpp"
#include "bindings/cli/terminal.hpp"
#include "bindings/cli/verbs.hpp"
#include "libloop/base/text.hpp"
#include "libloop/report/prediction.hpp"

namespace libloop::cli {
namespace {

struct PredictCall {
  std::string cooler, against, bench;
  DutyLists lists;
  std::vector<std::string> settings;
  PredictOptions options;
  bool json = false, csv = false, strict = false;
};

constexpr const char* footer =
    "--fan and --pump take rpm (\"1200 rpm\") or per cent of rated speed (\"60 %\"); rpm count by\n"
    "each cooler's own rated speed. Points are all loads at all fan speeds at all pump speeds.\n"
    "With --against, --set changes the cooler under test and the bench, not the other cooler.\n"
    "\n"
    "Examples:\n"
    "  libloop predict dense.toml --load 180\n"
    "  libloop predict dense.toml --load 90,180,270 --fan \"100 %, 60 %\" --bench thick-lid \\\n"
    "      --ambient \"23 C\" --csv\n"
    "  libloop predict dense.toml --against thin.toml --load 180 --fan \"1200 rpm\" \\\n"
    "      --set paste.conductivity=\"7 W/(m K)\"\n"
    "  libloop predict push-pull.toml --against push.toml --load 180 --alike\n";

// ---- exit codes

bool has_answers(const Prediction& prediction) {
  return std::all_of(prediction.points.begin(), prediction.points.end(),
                     [](const PredictedPoint& p) { return p.typical.summary.usable; });
}

bool within_validity(const Prediction& prediction) {
  for (const PredictedPoint& point : prediction.points) {
    for (const Note& note : point.typical.notes) {
      if (note.kind == Note::Kind::validity) return false;
    }
  }
  return true;
}

int outcome(const PredictCall& call, const std::vector<const Prediction*>& predictions) {
  for (const Prediction* prediction : predictions) {
    if (!has_answers(*prediction)) {
      complain("some points have no answer; they say why");
      return no_answer;
    }
  }
  for (const Prediction* prediction : predictions) {
    if (call.strict && !within_validity(*prediction)) {
      complain("some points lie outside the range of a law (--strict); the notes say which");
      return outside_validity;
    }
  }
  return done;
}

int predict_one(const PredictCall& call, const Model& model) {
  const std::vector<Duty> all = duties(call.lists, model.cooler());
  tell_usual_bench(call.bench);
  tell_usual_ambient(!call.lists.ambient.empty());
  Prediction prediction;
  {
    const Patience patience("predicting");
    prediction = predict(model, all, call.options);
  }
  if (call.json) {
    print(report::json(model, prediction));
  } else if (call.csv) {
    print(report::csv(model, prediction));
  } else {
    print_text(report::text(model, prediction));
  }
  return outcome(call, {&prediction});
}

int predict_against(const PredictCall& call, const Model& model, const Bench& bench) {
  const Model other(cooler_named(call.against), bench);
  const std::vector<Duty> all = duties(call.lists, model.cooler());
  const std::vector<Duty> other_all = duties(call.lists, other.cooler());
  tell_usual_bench(call.bench);
  tell_usual_ambient(!call.lists.ambient.empty());
  Comparison comparison;
  {
    const Patience patience("predicting both");
    comparison = compare(model, other, all, other_all, call.options);
  }
  if (call.json) {
    print(report::json(model, other, comparison, call.options.alike));
  } else if (call.csv) {
    print(report::csv(model, other, comparison));
  } else {
    print_text(report::text(model, other, comparison, call.options.alike));
  }
  return outcome(call, {&comparison.cooler, &comparison.other});
}

int run(const PredictCall& call) {
  check_samples(call.options.samples);
  Cooler cooler = cooler_named(call.cooler);
  Bench bench = bench_or_usual(call.bench);
  set_all(call.settings, &cooler, &bench);
  const Model model(cooler, bench);
  return call.against.empty() ? predict_one(call, model) : predict_against(call, model, bench);
}

}  // namespace

void add_predict(CLI::App& app, Action& action) {
  auto call = std::make_shared<PredictCall>();
  CLI::App* verb = app.add_subcommand(
      "predict", "Operating points with intervals, kelvin budget, limits, what matters most");
  verb->footer(footer);
  verb->add_option("cooler", call->cooler, "Cooler file")->required()->type_name("COOLER");
  add_repeated(*verb, "--load", call->lists.load, "Heat loads in W, divided by commas")
      ->required()
      ->type_name("LOADS");
  add_repeated(*verb, "--fan", call->lists.fan, "Fan speeds, divided by commas (left out: 100 %)")
      ->type_name("SPEEDS");
  add_repeated(*verb, "--pump", call->lists.pump,
               "Pump speeds, divided by commas (left out: 100 %)")
      ->type_name("SPEEDS");
  CLI::Option* against = verb->add_option("--against", call->against,
                                          "A second cooler file: the difference comes first")
                             ->type_name("COOLER");
  verb->add_flag("--alike", call->options.alike,
                 "Draw what both coolers have by one name together:\n"
                 "two arrangements of the same parts")
      ->needs(against);
  verb->add_option("--bench", call->bench, "Bench file or " + text::list(generic_benches(), "or"))
      ->type_name("BENCH");
  verb->add_option("--ambient", call->lists.ambient, "Air at the intake, in C (left out: 25 C)")
      ->type_name("TEMPERATURE");
  verb->add_option("--altitude", call->lists.altitude, "Height above the sea, in m (left out: 0 m)")
      ->type_name("HEIGHT");
  add_repeated(*verb, "--set", call->settings, "Override a quantity of the files")
      ->type_name("PART.NAME=VALUE");
  verb->add_option("--samples", call->options.samples,
                   "Samples drawn: 50 or more, or 0 for typical values only")
      ->type_name("NUMBER")
      ->capture_default_str();
  CLI::Option* json = verb->add_flag("--json", call->json, "One JSON object");
  verb->add_flag("--csv", call->csv, "One row a point")->excludes(json);
  verb->add_flag("--strict", call->strict, "Exit 5 when a law is used outside its range");
  verb->callback([call, &action] { action = [call] { return run(*call); }; });
}

}  // namespace libloop::cli
