// libloop draw: one operating point as a picture of the loop.
#include <fmt/format.h>

#include <memory>

#include "bindings/cli/assumed.hpp"
#include "bindings/cli/duty_lists.hpp"
#include "bindings/cli/overrides.hpp"
#include "bindings/cli/terminal.hpp"
#include "bindings/cli/verbs.hpp"
#include "libloop/base/text.hpp"
#include "libloop/report/picture.hpp"

namespace libloop::cli {
namespace {

struct DrawCall {
  std::string cooler, bench;
  DutyLists lists;
  std::vector<std::string> settings;
  bool graphviz = false, json = false;
};

constexpr const char* footer =
    "The picture stands for one point, all quantities at their typical values: one load, one fan\n"
    "speed, one pump speed. Left out, the load is 100 W. --graphviz prints nothing but DOT.\n"
    "\n"
    "Examples:\n"
    "  libloop draw dense.toml --load 180\n"
    "  libloop draw custom-loop.toml --bench bench-two-chips.toml --load 150 --fan \"60 %\"\n"
    "  libloop draw dense.toml --load 180 --graphviz | dot -Tsvg > dense.svg\n";

constexpr const char* usual_load = "100";

void tell_defaults(const DrawCall& call, bool load_given) {
  tell_usual_bench(call.bench);
  if (!load_given) note(fmt::format("no --load given: taking {} W", usual_load));
  tell_usual_ambient(!call.lists.ambient.empty());
}

Duty one_duty(const DrawCall& call, const Cooler& cooler) {
  const std::vector<Duty> all = duties(call.lists, cooler);
  if (all.size() == 1) return all.front();
  fail_call(fmt::format("{} points do not fit into one picture", all.size()),
            "Give one load, one fan speed and one pump speed.");
}

int run(DrawCall call) {
  Cooler cooler = cooler_named(call.cooler);
  Bench bench = bench_or_usual(call.bench);
  set_all(call.settings, &cooler, &bench);
  const bool load_given = !call.lists.load.empty();
  if (!load_given) call.lists.load = {usual_load};
  const Model model(cooler, bench);
  const std::vector<Duty> duty = {one_duty(call, model.cooler())};
  tell_defaults(call, load_given);
  const Prediction prediction = predict(model, duty, {.samples = 0});
  const OperatingPoint& point = prediction.points.front().typical;
  if (call.graphviz) {
    print(report::graphviz(model, point));
  } else if (call.json) {
    print(report::drawing_json(model, prediction));
  } else {
    print_text(report::drawing_text(model, prediction));
  }
  if (point.summary.usable) return done;
  complain(fmt::format("this point has no answer: {}", point.summary.why));
  return no_answer;
}

}  // namespace

void add_draw(CLI::App& app, Action& action) {
  auto call = std::make_shared<DrawCall>();
  CLI::App* verb = app.add_subcommand(
      "draw", "A picture of the loop: what runs where, how much, at what pressure");
  verb->footer(footer);
  verb->add_option("cooler", call->cooler, "Cooler file")->required()->type_name("COOLER");
  verb->add_option("--bench", call->bench, "Bench file or " + text::list(generic_benches(), "or"))
      ->type_name("BENCH");
  add_repeated(*verb, "--load", call->lists.load, "Heat load in W (left out: 100 W)")
      ->type_name("LOAD");
  add_repeated(*verb, "--fan", call->lists.fan, "Fan speed (left out: 100 %)")->type_name("SPEED");
  add_repeated(*verb, "--pump", call->lists.pump, "Pump speed (left out: 100 %)")
      ->type_name("SPEED");
  verb->add_option("--ambient", call->lists.ambient, "Air at the intake, in C (left out: 25 C)")
      ->type_name("TEMPERATURE");
  verb->add_option("--altitude", call->lists.altitude, "Height above the sea, in m (left out: 0 m)")
      ->type_name("HEIGHT");
  add_repeated(*verb, "--set", call->settings, "Override a quantity of the files")
      ->type_name("PART.NAME=VALUE");
  CLI::Option* json = verb->add_flag("--json", call->json, "One JSON object");
  verb->add_flag("--graphviz", call->graphviz, "The picture in the DOT language")->excludes(json);
  verb->callback([call, &action] { action = [call] { return run(*call); }; });
}

}  // namespace libloop::cli
