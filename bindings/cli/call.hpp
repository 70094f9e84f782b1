// How a call goes wrong, and what the command returns.
#pragma once

#include <CLI/CLI.hpp>
#include <functional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "libloop/base/error.hpp"

namespace libloop::cli {

enum Exit {
  done = 0,
  internal_fault = 1,
  wrong_call = 2,
  bad_input = 3,
  no_answer = 4,
  outside_validity = 5,
  interrupted = 130
};

// A mistake on the command line, as InputError is one in a file.
class WrongCall : public InputError {
 public:
  using InputError::InputError;
};

[[noreturn]] void fail_call(std::string message, std::string suggestion);

// Runs `step` and says of what is wrong in it that it stands on the command line, at
// `where`: "--fan 60".
template <class Step>
auto as_call(const std::string& where, const Step& step) {
  try {
    return step();
  } catch (const InputError& error) {
    std::vector<Problem> problems = error.problems();
    for (Problem& problem : problems) problem.message = where + ": " + problem.message;
    throw WrongCall(std::move(problems));
  }
}

// What a verb does once the whole call was read.
using Action = std::function<int()>;

// What CLI11 says about a call, in our words; never returns.
[[noreturn]] void fail_parse(const CLI::App& app, const CLI::ParseError& error);

// An option that may be given several times, with one text each.
CLI::Option* add_repeated(CLI::App& verb, const std::string& name, std::vector<std::string>& values,
                          const std::string& words);

}  // namespace libloop::cli
