// The one family of exceptions for a user's mistake.
//
// A mistake in a file, a value or a call throws `InputError` at the public border, with
// every problem found, each with its place and, where there is one, a suggestion. A
// numerical outcome ("this loop has no operating point") is never an exception: it is
// told by the `Summary` of the answer.
#pragma once

#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace libloop {

// What went wrong, in one word that scripts may rely on.
enum class Code {
  file,       // cannot be read, is not text, is too large
  syntax,     // not TOML
  unknown,    // unknown key, table, unit, choice, quantity
  missing,    // something needed is not there
  duplicate,  // the same thing twice
  kind,       // a number where text is needed, and the like
  unit,       // a value without unit, or with one that cannot be read
  dimension,  // the unit belongs to another dimension
  bounds,     // physically impossible
  order,      // low above typical above high, curve out of order
  conflict,   // two statements that exclude one another
  call,       // the library or the command was called wrongly
};

std::string_view word(Code code);

// Where in a file; line and column count from 1, 0 means unknown.
struct Place {
  std::string file;
  int line = 0;
  int column = 0;
  int length = 1;
  std::string text;  // the line itself
};

struct Problem {
  Code code = Code::call;
  std::string message;     // one sentence: cause and the value seen
  std::string suggestion;  // what to write instead; may be empty
  Place place;
  std::string about{};  // the part or row meant: "radiator.class", "network.join.2"

  // "file:line:column: message", the line, a mark under the fault, the suggestion.
  std::string describe() const;
};

class InputError : public std::runtime_error {
 public:
  explicit InputError(std::vector<Problem> problems);
  explicit InputError(Problem problem);

  const std::vector<Problem>& problems() const { return problems_; }
  Code code() const { return problems_.front().code; }

 private:
  std::vector<Problem> problems_;
};

// Throws an InputError that belongs to no file.
[[noreturn]] void refuse(Code code, std::string message, std::string suggestion);

}  // namespace libloop
