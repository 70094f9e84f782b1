#include "bindings/cli/call.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "libloop/base/text.hpp"

namespace libloop::cli {
namespace {

const CLI::App& verb_of(const CLI::App& app) {
  const std::vector<CLI::App*> verbs = app.get_subcommands();
  return verbs.empty() ? app : *verbs.front();
}

std::string name_of(const CLI::App& app) {
  const CLI::App& verb = verb_of(app);
  return &verb == &app ? "libloop" : "libloop " + verb.get_name();
}

std::vector<std::string> options_of(const CLI::App& verb) {
  std::vector<std::string> names;
  for (const CLI::Option* option : verb.get_options()) {
    for (const std::string& name : option->get_lnames()) names.push_back("--" + name);
  }
  return names;
}

bool is_unit(const std::string& word) {
  constexpr std::array<std::string_view, 12> units = {"W", "kW", "rpm", "%",   "C", "F",
                                                      "m", "ft", "s",   "min", "h", "K"};
  return std::find(units.begin(), units.end(), word) != units.end();
}

[[noreturn]] void fail_extra(const CLI::App& app, const std::string& word) {
  const std::string help = fmt::format("'{} --help' shows what it takes.", name_of(app));
  if (is_unit(word)) {
    fail_call(fmt::format("'{}' stands alone", word),
              fmt::format("Put number and unit in quotes together: \"60 {}\".", word));
  }
  const std::string name = word.substr(0, word.find('='));
  const bool option = name.size() > 1 && name.front() == '-';
  std::string hint = option ? text::did_you_mean(name, options_of(verb_of(app))) : "";
  fail_call(option ? fmt::format("{} has no option '{}'", name_of(app), name)
                   : fmt::format("{} does not take '{}' here", name_of(app), word),
            hint.empty() ? help : hint);
}

}  // namespace

void fail_call(std::string message, std::string suggestion) {
  throw WrongCall(Problem{Code::call, std::move(message), std::move(suggestion), {}});
}

void fail_parse(const CLI::App& app, const CLI::ParseError& error) {
  const std::vector<std::string> extra = app.remaining(true);
  if (!extra.empty()) fail_extra(app, extra.front());
  std::string message = error.what();
  if (dynamic_cast<const CLI::ArgumentMismatch*>(&error) != nullptr) {
    message = message.substr(0, message.find(':')) + " needs a value";
  }
  fail_call(message, fmt::format("'{} --help' shows what it takes.", name_of(app)));
}

CLI::Option* add_repeated(CLI::App& verb, const std::string& name, std::vector<std::string>& values,
                          const std::string& words) {
  return verb.add_option(name, values, words)->allow_extra_args(false);
}

}  // namespace libloop::cli
