// libloop check: what files give, what they leave to assumption, what is wrong in them.
#include <filesystem>
#include <list>
#include <memory>

#include "bindings/cli/overrides.hpp"
#include "bindings/cli/terminal.hpp"
#include "bindings/cli/verbs.hpp"
#include "libloop/files/read.hpp"
#include "libloop/part/catalogue.hpp"
#include "libloop/report/check.hpp"

namespace libloop::cli {
namespace {

struct CheckCall {
  std::vector<std::string> files, settings;
  bool json = false, csv = false;
};

constexpr const char* footer =
    "All errors of all files are told in one go. A generic bench may be named instead of a file.\n"
    "\n"
    "Examples:\n"
    "  libloop check dense.toml\n"
    "  libloop check coolers/*.toml bench.toml --csv > rows.csv\n"
    "  libloop check thick-lid\n";

// What was read; lists, for reports keep pointers into them.
struct Read {
  std::list<Cooler> coolers;
  std::list<Bench> benches;
  std::vector<report::Contents> contents;
  std::vector<Problem> problems;
};

bool is_bench_file(const InputError& error) {
  return error.problems().size() == 1 && error.code() == Code::kind &&
         error.problems().front().message.rfind("this is a bench file", 0) == 0;
}

// With one part of every kind: a setting for a part that a file does not have still has
// to be right.
Cooler any_cooler() {
  Cooler cooler;
  for (const Table* table : cooler_tables()) {
    if (cooler.all(table->kind).empty()) cooler.add(table->kind);
  }
  return cooler;
}

void add_bench(const std::string& file, Bench bench, const CheckCall& call, Read& read) {
  Cooler nobody = any_cooler();
  set_all(call.settings, &nobody, &bench);
  read.benches.push_back(std::move(bench));
  read.contents.push_back(report::contents(read.benches.back(), file));
}

void read_file(const std::string& file, const CheckCall& call, Read& read) {
  if (is_generic_bench(file) && !std::filesystem::exists(file)) {
    return add_bench(file, generic_bench(file), call, read);
  }
  try {
    Cooler cooler = read_cooler(file);
    Bench nobody;
    set_all(call.settings, &cooler, &nobody);
    read.coolers.push_back(std::move(cooler));
    read.contents.push_back(report::contents(read.coolers.back(), file));
  } catch (const WrongCall&) {
    throw;
  } catch (const InputError& error) {
    if (!is_bench_file(error)) throw;
    add_bench(file, read_bench(file), call, read);
  }
}

Read read_all(const CheckCall& call) {
  Read read;
  for (const std::string& file : call.files) {
    try {
      read_file(file, call, read);
    } catch (const WrongCall&) {
      throw;
    } catch (const InputError& error) {
      for (const Problem& problem : error.problems()) read.problems.push_back(problem);
    }
  }
  // What --set has made not fit together any more.
  for (const Cooler& cooler : read.coolers) {
    for (Problem& problem : cooler.problems()) read.problems.push_back(std::move(problem));
  }
  for (const Bench& bench : read.benches) {
    for (Problem& problem : bench.problems()) read.problems.push_back(std::move(problem));
  }
  return read;
}

int run(const CheckCall& call) {
  const Read read = read_all(call);
  if (call.json) {
    print(report::json(read.contents));
  } else if (call.csv) {
    print(report::csv(read.contents));
  } else {
    for (const report::Contents& file : read.contents) {
      print_text((&file == &read.contents.front() ? "" : "\n") + report::text(file));
    }
  }
  if (read.problems.empty()) return done;
  complain(read.problems);
  return bad_input;
}

}  // namespace

void add_check(CLI::App& app, Action& action) {
  auto call = std::make_shared<CheckCall>();
  CLI::App* verb =
      app.add_subcommand("check", "What files give, what is assumed (with range), what is wrong");
  verb->footer(footer);
  verb->add_option("files", call->files, "Cooler and bench files")->required()->type_name("FILE");
  add_repeated(*verb, "--set", call->settings, "Override a quantity of the files")
      ->type_name("PART.NAME=VALUE");
  CLI::Option* json = verb->add_flag("--json", call->json, "One JSON object");
  verb->add_flag("--csv", call->csv, "One line a row")->excludes(json);
  verb->callback([call, &action] { action = [call] { return run(*call); }; });
}

}  // namespace libloop::cli
