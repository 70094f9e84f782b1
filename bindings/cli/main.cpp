// The command `libloop`: reads the call, runs one verb, turns what went wrong into words
// and an exit code.
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <csignal>
#include <exception>
#include <memory>
#include <string>
#include <vector>

#include "bindings/cli/call.hpp"
#include "bindings/cli/terminal.hpp"
#include "bindings/cli/verbs.hpp"
#include "libloop/base/text.hpp"
#include "libloop/report/version.hpp"

namespace libloop::cli {
namespace {

// Nothing is half-written when a verb is interrupted: files appear whole or not at all.
extern "C" void stop_at_once(int) { _exit(interrupted); }

void mind_signals() {
  std::signal(SIGINT, stop_at_once);
  std::signal(SIGPIPE, SIG_IGN);  // a reader that left is seen where it is written to
}

constexpr const char* footer =
    "Answers go to standard output, talk to standard error.\n"
    "Exit codes: 0 done, 1 internal fault, 2 wrong call, 3 bad input, 4 no answer,\n"
    "5 outside a law's validity (with --strict), 130 interrupted.\n"
    "\n"
    "Examples:\n"
    "  libloop new dense --class 280 --thickness \"30 mm\" --fin-density \"20 fpi\"\n"
    "  libloop check dense.toml\n"
    "  libloop predict dense.toml --load 90,180 --fan \"100 %, 60 %\"\n"
    "  libloop reduce monday.csv\n";

// The library's own format, but options do not list what they exclude: the call says so.
class HelpFormat : public CLI::Formatter {
  std::string make_option_opts(const CLI::Option* option) const override {
    if (option->get_expected_max() == 0) return "";
    const std::string all = Formatter::make_option_opts(option);
    return all.substr(0, std::min(all.find(" Excludes:"), all.find(" Needs:")));
  }
};

void refuse_unknown_verb(const CLI::App& app, const std::string& word) {
  std::vector<std::string> names;
  for (const CLI::App* verb : app.get_subcommands({})) names.push_back(verb->get_name());
  for (const std::string& name : names) {
    if (name == word) return;
  }
  std::string hint = text::did_you_mean(word, names);
  if (hint.empty()) hint = "There are " + text::list(names) + ".";
  fail_call(fmt::format("libloop has no verb '{}'", word), hint);
}

int run(int argc, char** argv) {
  CLI::App app{"Predicts liquid CPU coolers from their spec sheets, and reads what was measured.",
               "libloop"};
  app.set_version_flag("--version", "libloop " + std::string(version()));
  app.set_help_flag("-h,--help", "Show this help");
  app.formatter(std::make_shared<HelpFormat>());
  app.require_subcommand(1);
  app.footer(footer);
  Action action;
  add_new(app, action);
  add_check(app, action);
  add_predict(app, action);
  add_draw(app, action);
  add_warmup(app, action);
  add_reduce(app, action);
  add_forecast(app, action);
  add_compare(app, action);
  add_quantities(app, action);
  if (argc < 2) fail_call("no verb given", "'libloop --help' shows the verbs.");
  if (argv[1][0] != '-') refuse_unknown_verb(app, argv[1]);
  try {
    app.parse(argc, argv);
  } catch (const CLI::CallForHelp&) {
    print(app.help());
    return done;
  } catch (const CLI::CallForVersion& call) {
    print(std::string(call.what()) + '\n');
    return done;
  } catch (const CLI::ParseError& error) {
    fail_parse(app, error);
  }
  return action();
}

int guarded(int argc, char** argv) {
  try {
    return run(argc, argv);
  } catch (const WrongCall& error) {
    complain(error.problems());
    return wrong_call;
  } catch (const InputError& error) {
    complain(error.problems());
    return error.code() == Code::call ? wrong_call : bad_input;
  } catch (const std::exception& error) {
    complain(fmt::format("internal fault: {}", error.what()));
    return internal_fault;
  }
}

}  // namespace
}  // namespace libloop::cli

int main(int argc, char** argv) {
  libloop::cli::mind_signals();
  try {
    return libloop::cli::guarded(argc, argv);
  } catch (...) {
    return libloop::cli::internal_fault;
  }
}
