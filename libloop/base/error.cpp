#include "libloop/base/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "libloop/base/text.hpp"

namespace libloop {
namespace {

std::string describe_all(const std::vector<Problem>& problems) {
  std::string all;
  for (const Problem& problem : problems) {
    if (!all.empty()) all += '\n';
    all += problem.describe();
  }
  return all;
}

}  // namespace

std::string_view word(Code code) {
  switch (code) {
    case Code::file:
      return "file";
    case Code::syntax:
      return "syntax";
    case Code::unknown:
      return "unknown";
    case Code::missing:
      return "missing";
    case Code::duplicate:
      return "duplicate";
    case Code::kind:
      return "kind";
    case Code::unit:
      return "unit";
    case Code::dimension:
      return "dimension";
    case Code::bounds:
      return "bounds";
    case Code::order:
      return "order";
    case Code::conflict:
      return "conflict";
    case Code::call:
      return "call";
  }
  return "call";
}

std::string Problem::describe() const {
  std::string out;
  if (!place.file.empty()) out += place.file + ":";
  if (place.line > 0) out += fmt::format("{}:{}:", place.line, place.column);
  if (!out.empty()) out += ' ';
  out += message;
  if (place.line > 0 && !place.text.empty()) {
    const std::string number = fmt::format("{:>5}", place.line);
    const std::string before =
        place.text.substr(0, static_cast<std::size_t>(std::max(0, place.column - 1)));
    std::string indent(text::width(before), ' ');
    // A tab in the line stays a tab above the mark, so that both line up.
    if (before.find_first_not_of('\t') == std::string::npos) indent = before;
    out += fmt::format("\n{} | {}\n{} | {}{}", number, place.text, std::string(5, ' '), indent,
                       std::string(static_cast<std::size_t>(std::max(1, place.length)), '^'));
  }
  if (!suggestion.empty()) out += "\n      " + suggestion;
  return out;
}

InputError::InputError(std::vector<Problem> problems)
    : std::runtime_error(describe_all(problems)), problems_(std::move(problems)) {}

InputError::InputError(Problem problem) : InputError(std::vector<Problem>{std::move(problem)}) {}

void refuse(Code code, std::string message, std::string suggestion) {
  throw InputError(Problem{code, std::move(message), std::move(suggestion), {}});
}

}  // namespace libloop
