// libloop compare: measured coolers against each other, and predicted ones beside them.
#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <optional>

#include "bindings/cli/assumed.hpp"
#include "bindings/cli/campaign.hpp"
#include "bindings/cli/picture_options.hpp"
#include "bindings/cli/reading_options.hpp"
#include "bindings/cli/terminal.hpp"
#include "bindings/cli/values.hpp"
#include "bindings/cli/verbs.hpp"
#include "libloop/base/text.hpp"
#include "libloop/evidence/common_points.hpp"
#include "libloop/evidence/instruments.hpp"
#include "libloop/quantity/unit.hpp"
#include "libloop/report/ranking.hpp"

namespace libloop::cli {
namespace {

struct CompareCall {
  std::vector<std::string> files, pinned;
  std::string bench, load, fan, at_noise, at_rise, under_test, noise_picture;
  int best = 12;
  RankOptions options;
  ReadingOptions reading;
  PictureCall picture;
  bool json = false, csv = false;
};

constexpr const char* footer =
    "A table has one row a point: cooler, load, fan speed, rise over ambient; and what there is\n"
    "of noise, ambient, mount, held, price, date, u. 'libloop reduce --csv' writes one. Files\n"
    ".toml are coolers, predicted on the bench. All are ranked at one load, fans at their\n"
    "fastest, or at --fan, --at-noise or --at-rise, read between the measured points. Coolers\n"
    "of one group are not told apart from its best. --reference names a cooler that was\n"
    "measured in every state of the bench.\n"
    "\n"
    "Examples:\n"
    "  libloop compare coolers.csv --load 180\n"
    "  libloop compare coolers.csv --at-noise \"30 dBA\" --under-test \"Invented 280\" \\\n"
    "      --picture ranking.png --noise-picture noise.png\n"
    "  libloop compare coolers.csv dense.toml --bench thick-lid --at-rise \"40 K\" --json\n";

// ---- the condition

void set_fan(Condition& condition, const std::string& word) {
  if (word.empty()) return;
  if (text::parse_number(text::trim(word))) {
    fail_call(fmt::format("--fan {}: per cent or rpm?", word),
              fmt::format("Write \"{0} %\" (of rated speed) or \"{0} rpm\", in quotes.", word));
  }
  if (text::trim(word).back() == '%') {
    condition.fan_share = value_between("--fan", word, "%", 0.0, 3.0);
  } else {
    const DeclaredChannel& fan = declared(Channel::fan_speed);
    condition.fan_speed = value_between("--fan", word, "rpm", fan.min, fan.max);
  }
}

std::optional<double> load_of(const CompareCall& call) {
  const DeclaredChannel& load = declared(Channel::load);
  return value_given("--load", call.load, "W", load.min, load.max);
}

Condition condition_of(const CompareCall& call, const MeasuredTable& table) {
  Condition condition;
  const std::optional<double> load = load_of(call);
  condition.load = load ? *load : common_load(table);
  set_fan(condition, call.fan);
  const DeclaredChannel& sound = declared(Channel::sound);
  condition.level = value_given("--at-noise", call.at_noise, "dBA", sound.min, sound.max);
  condition.rise = value_given("--at-rise", call.at_rise, "K", 0.1, 200.0);
  if (!load) {
    note(fmt::format("no --load given: taking {}, which the most coolers have",
                     show(condition.load, "W")));
  }
  return condition;
}

// ---- titles of the call

void check_title(const std::string& option, const std::string& title,
                 const std::vector<std::string>& titles) {
  if (title.empty() || std::find(titles.begin(), titles.end(), title) != titles.end()) return;
  const std::string hint = text::did_you_mean(title, titles);
  fail_call(fmt::format("{} {}: no cooler has this title", option, title),
            hint.empty() ? "Titles stand in the tables' column of coolers." : hint);
}

void check_titles(const CompareCall& call, const std::vector<std::string>& titles) {
  check_title("--under-test", call.under_test, titles);
  check_title("--reference", call.options.reference, titles);
  for (const std::string& title : call.pinned) check_title("--pin", title, titles);
}

// ---- the answer

// What the ranking is not at already: the noise that the most coolers can be read at.
std::optional<Ranking> at_equal_noise(const CompareCall& call, const Campaign& campaign,
                                      const Instruments<double>& meters, const Condition& condition,
                                      const std::vector<NoiseCurve>& curves) {
  if (condition.level) return std::nullopt;
  const std::optional<double> level = common_level(curves);
  if (!level) return std::nullopt;
  Condition equal;
  equal.load = condition.load;
  equal.level = level;
  return rank(campaign.all, meters, equal, call.options);
}

void draw_pictures(const CompareCall& call, report::PictureOptions picture,
                   const Campaign& campaign, const Ranking& ranking,
                   const std::vector<NoiseCurve>& curves) {
  picture.under_test = call.under_test;
  picture.pinned = call.pinned;
  picture.best = call.best;
  picture.titles = titles_of(campaign.all);
  if (!call.picture.path.empty()) {
    report::draw(report::ranking_chart(ranking, picture), call.picture.path);
  }
  if (!call.noise_picture.empty()) {
    report::draw(report::noise_chart(curves, ranking.condition.load, picture), call.noise_picture);
  }
}

void tell_bench(const CompareCall& call, const Campaign& campaign) {
  if (campaign.predicts) {
    tell_usual_bench(call.bench);
  } else if (call.bench.empty()) {
    note("no --bench given: the meters may be off as [instruments] says they usually are");
  }
}

int run(const CompareCall& call) {
  const report::PictureOptions picture = picture_options(call.picture);
  check_picture("--noise-picture", call.noise_picture);
  if (call.best < 1) fail_call(fmt::format("--best {}: out of bounds", call.best), "1 or more.");
  const Bench bench = bench_or_usual(call.bench);
  const Instruments<double> meters = instruments(bench);
  const Campaign campaign =
      campaign_of(call.files, reading_choice(call.reading), bench, load_of(call));
  check_titles(call, titles_of(campaign.all));
  const Condition condition = condition_of(call, campaign.all);
  tell_bench(call, campaign);
  report::ToldRanking told;
  told.ranking = rank(campaign.all, meters, condition, call.options);
  const std::vector<NoiseCurve> curves =
      noise_curves(campaign.all, meters, condition.load, call.options);
  told.equal_noise = at_equal_noise(call, campaign, meters, condition, curves);
  told.under_test = call.under_test;
  told.tables = campaign.tables;
  draw_pictures(call, picture, campaign, told.ranking, curves);
  if (call.json) {
    print(report::json(told));
  } else if (call.csv) {
    print(report::csv(told));
  } else {
    print_text(report::text(told));
  }
  if (!told.ranking.rows.empty()) return done;
  complain("no cooler can be ranked; the answer says why");
  return no_answer;
}

// ---- options

void add_condition_options(CLI::App& verb, CompareCall& call) {
  verb.add_option("--load", call.load, "Heat load in W (left out: the one most coolers have)")
      ->type_name("LOAD");
  CLI::Option* fan = verb.add_option("--fan", call.fan, "At this fan speed (left out: the fastest)")
                         ->type_name("SPEED");
  CLI::Option* noise =
      verb.add_option("--at-noise", call.at_noise, "At equal noise, in dBA: ranks by rise")
          ->type_name("LEVEL")
          ->excludes(fan);
  verb.add_option("--at-rise", call.at_rise, "At equal rise, in K: ranks by noise")
      ->type_name("RISE")
      ->excludes(fan)
      ->excludes(noise);
}

void add_cooler_options(CLI::App& verb, CompareCall& call) {
  verb.add_option("--under-test", call.under_test, "The cooler that a picture is about")
      ->type_name("TITLE");
  add_repeated(verb, "--pin", call.pinned, "A cooler that pictures keep (repeatable)")
      ->type_name("TITLE");
  verb.add_option("--best", call.best, "So many of the rest at most in pictures")
      ->type_name("NUMBER")
      ->capture_default_str();
  verb.add_option("--reference", call.options.reference,
                  "The cooler that ties the states of the bench by date")
      ->type_name("TITLE");
}

}  // namespace

void add_compare(CLI::App& app, Action& action) {
  auto call = std::make_shared<CompareCall>();
  CLI::App* verb = app.add_subcommand(
      "compare", "Measured coolers ranked: at equal load, noise or rise, with ties");
  verb->footer(footer);
  verb->add_option("file", call->files, "Measured tables, and cooler files .toml")
      ->required()
      ->type_name("TABLE");
  verb->add_option(
          "--bench", call->bench,
          "Bench of the meters and of predictions: a file,\n" + text::list(generic_benches(), "or"))
      ->type_name("BENCH");
  add_condition_options(*verb, *call);
  add_cooler_options(*verb, *call);
  add_reading_options(*verb, call->reading, false);
  add_picture_options(*verb, call->picture, "Draw the ranking");
  verb->add_option("--noise-picture", call->noise_picture, "Draw rise against noise, likewise")
      ->type_name("FILE")
      ->group("Pictures");
  CLI::Option* json = verb->add_flag("--json", call->json, "One JSON object");
  verb->add_flag("--csv", call->csv, "One row a cooler")->excludes(json);
  verb->callback([call, &action] { action = [call] { return run(*call); }; });
}

}  // namespace libloop::cli
