// libloop new: a commented cooler file from the numbers of a spec sheet.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cstring>
#include <memory>

#include "bindings/cli/overrides.hpp"
#include "bindings/cli/terminal.hpp"
#include "bindings/cli/verbs.hpp"
#include "libloop/base/text.hpp"
#include "libloop/files/write.hpp"
#include "libloop/part/radiator.hpp"

namespace libloop::cli {
namespace {

// An option of the verb and the quantity it writes.
struct SheetOption {
  const char* option;
  const char* path;
  const char* words;
};

constexpr std::array<SheetOption, 15> sheet_options = {{
    {"--class", "radiator.class", "Size class: 120, 140, 240, 280, 360 or 420"},
    {"--thickness", "radiator.thickness", "Outer thickness of the radiator"},
    {"--length", "radiator.length", "Outer length of the radiator"},
    {"--width", "radiator.width", "Outer width of the radiator"},
    {"--fin-density", "radiator.fin_density", "Fins per length"},
    {"--fans", "fan.count", "Number of fans (left out: as many as the class takes)"},
    {"--fan-size", "fan.size", "Side of a fan"},
    {"--fan-speed", "fan.rated_speed", "Rated speed of the fans"},
    {"--free-flow", "fan.free_flow", "Free flow of one fan"},
    {"--static-pressure", "fan.static_pressure", "Static pressure of one fan"},
    {"--noise", "fan.noise", "Sound level of one fan at 1 m"},
    {"--pump-speed", "pump.rated_speed", "Rated speed of the pump"},
    {"--tube-length", "tube.length", "Length of one hose"},
    {"--base-length", "cold_plate.base_length", "Length of the plate's base"},
    {"--base-width", "cold_plate.base_width", "Width of the plate's base"},
}};

struct NewCall {
  std::string name, title;
  std::array<std::string, sheet_options.size()> values;
  std::vector<std::string> settings;
};

constexpr const char* footer =
    "Values take their unit, in quotes. What is not given stands in the file as a comment with "
    "its\n"
    "typical value and range. A file that exists is never overwritten.\n"
    "\n"
    "Examples:\n"
    "  libloop new plain --class 240\n"
    "  libloop new dense --class 280 --thickness \"30 mm\" --fin-density \"20 fpi\" \\\n"
    "      --fan-speed \"1750 rpm\" --free-flow \"75 cfm\" --static-pressure \"2.1 mmH2O\"\n"
    "  libloop new deep --class 360 --thickness \"45 mm\" --set coolant.kind=water\n";

using Given = std::vector<std::pair<std::string, std::string>>;

std::string fans_of_class(const std::string& word) {
  for (const RadiatorClass& size : radiator_classes) {
    if (word == size.word) return std::to_string(size.fans);
  }
  return {};
}

// How many values the call itself gives.
std::size_t said_by(const NewCall& call) {
  const auto empty = std::count(call.values.begin(), call.values.end(), "");
  return call.values.size() - static_cast<std::size_t>(empty) + call.settings.size();
}

// Values of the options in the order of the sheet, then those of --set.
Given given_by(const NewCall& call) {
  Given given;
  for (std::size_t i = 0; i < sheet_options.size(); ++i) {
    if (!call.values[i].empty()) given.emplace_back(sheet_options[i].path, call.values[i]);
  }
  for (const std::string& setting : call.settings) {
    const std::size_t equals = setting.find('=');
    if (equals == std::string::npos) {
      fail_call(fmt::format("--set {}: there is no '='", setting),
                "Write --set coolant.kind=water.");
    }
    given.emplace_back(text::trim(setting.substr(0, equals)), setting.substr(equals + 1));
  }
  // A class is a row of fans; without a word on their number the row is full.
  const bool counted = std::any_of(given.begin(), given.end(),
                                   [](const auto& one) { return one.first == "fan.count"; });
  if (!counted) given.emplace_back("fan.count", fans_of_class(call.values.front()));
  return given;
}

// Each value on its own, so that what is wrong is told with its option.
void check_values(const NewCall& call) {
  Cooler cooler;
  cooler.add("fan");
  std::vector<Problem> problems;
  for (std::size_t i = 0; i < sheet_options.size(); ++i) {
    if (call.values[i].empty()) continue;
    try {
      as_call(fmt::format("{} {}", sheet_options[i].option, call.values[i]),
              [&] { cooler.set(sheet_options[i].path, call.values[i]); });
    } catch (const WrongCall& error) {
      problems.insert(problems.end(), error.problems().begin(), error.problems().end());
    }
  }
  if (!problems.empty()) throw WrongCall(std::move(problems));
  set_all(call.settings, &cooler, nullptr);
}

std::string file_name(const std::string& name) {
  constexpr std::string_view ending = ".toml";
  const bool has = name.size() > ending.size() &&
                   name.compare(name.size() - ending.size(), ending.size(), ending) == 0;
  return has ? name : name + std::string(ending);
}

// A word as a shell takes it.
std::string shell_word(const std::string& word) {
  const bool plain = std::all_of(word.begin(), word.end(), [](char c) {
    return std::isalnum(static_cast<unsigned char>(c)) != 0 || std::strchr("._-/+", c) != nullptr;
  });
  if (plain) return word;
  std::string out = "\"";
  for (const char c : word) {
    if (std::strchr("\"\\$`", c) != nullptr) out += '\\';
    out += c;
  }
  return out + '"';
}

int run(const NewCall& call) {
  check_values(call);
  const std::string file = file_name(call.name);
  const Given given = given_by(call);
  const std::string text = [&] {
    try {
      return new_cooler(call.title.empty() ? stem(file) : call.title, given);
    } catch (const InputError& error) {
      throw WrongCall(error.problems());
    }
  }();
  write_new_file(file, text);
  const std::string word = shell_word(file);
  const std::size_t values = said_by(call);
  print(
      fmt::format("Wrote {}: {} given, {}the rest typical with its range.\n"
                  "\n"
                  "Next\n"
                  "  libloop check {}\n"
                  "  libloop predict {} --load 180\n",
                  file, values == 1 ? "1 value" : fmt::format("{} values", values),
                  values == given.size() ? "" : "a full row of fans, ", word, word));
  return done;
}

}  // namespace

void add_new(CLI::App& app, Action& action) {
  auto call = std::make_shared<NewCall>();
  CLI::App* verb =
      app.add_subcommand("new", "Writes a commented cooler file from the numbers of a spec sheet");
  verb->footer(footer);
  verb->add_option("name", call->name, "File to write; .toml is added")
      ->required()
      ->type_name("NAME");
  verb->add_option("--title", call->title, "Title of the cooler (left out: NAME)")
      ->type_name("TEXT");
  for (std::size_t i = 0; i < sheet_options.size(); ++i) {
    const SheetOption& option = sheet_options[i];
    verb->add_option(option.option, call->values[i], option.words)
        ->required(i == 0)
        ->type_name("VALUE");
  }
  add_repeated(*verb, "--set", call->settings, "Any other quantity of a cooler")
      ->type_name("PART.NAME=VALUE");
  verb->callback([call, &action] { action = [call] { return run(*call); }; });
}

}  // namespace libloop::cli
