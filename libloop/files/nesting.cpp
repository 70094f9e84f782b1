#include "libloop/files/nesting.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <string>
#include <string_view>

namespace libloop::files {
namespace {

constexpr int deepest = 16;  // brackets within brackets, dots in one key
constexpr int most_values = 20000;

struct Excess {
  std::size_t offset;
  std::string message, suggestion;
};

// Walks over TOML text and counts how deep brackets and dotted keys nest, and how many
// values there are. The parser behind it calls itself once a level and takes a time that
// grows with values and length of line, so hostile text could exhaust stack and patience.
// Strings and comments do not count.
class Walk {
 public:
  explicit Walk(std::string_view text) : text_(text) {}

  std::optional<Excess> first_excess() {
    while (at_ < text_.size()) {
      step();
      if (brackets_ > deepest || dots_ > deepest) {
        return Excess{at_ - 1, fmt::format("nested more than {} deep", deepest),
                      "No value of such a file needs it; look for a bracket that is not closed."};
      }
      if (values_ > most_values) {
        return Excess{at_ - 1, fmt::format("the file has more than {} values", most_values),
                      "No cooler or bench needs so many."};
      }
    }
    return std::nullopt;
  }

 private:
  void step() {
    const char c = text_[at_];
    if (c == '"' || c == '\'') return skip_string(c);
    if (c == '#') return skip_to_line_end();
    ++at_;
    if (c == '[' || c == '{') ++brackets_;
    if (c == ']' || c == '}') brackets_ = std::max(0, brackets_ - 1);
    if (c == '.') ++dots_;
    if (c == ',' || c == '=') ++values_;
    if (c == '\n' || c == '=' || c == ',') dots_ = 0;
  }

  void skip_string(char quote) {
    const std::string three(3, quote);
    const bool many_lines = text_.substr(at_, 3) == three;
    at_ += many_lines ? 3 : 1;
    while (at_ < text_.size()) {
      const char c = text_[at_];
      if (c == '\\' && quote == '"') {
        at_ += 2;
      } else if (many_lines && text_.substr(at_, 3) == three) {
        at_ += 3;
        // Up to two quotes before the closing three belong to the string.
        for (int i = 0; i < 2 && at_ < text_.size() && text_[at_] == quote; ++i) ++at_;
        return;
      } else if (!many_lines && (c == quote || c == '\n')) {
        at_ += c == quote ? 1 : 0;
        return;
      } else {
        ++at_;
      }
    }
    at_ = text_.size();
  }

  void skip_to_line_end() { at_ = std::min(text_.find('\n', at_), text_.size()); }

  std::string_view text_;
  std::size_t at_ = 0;
  int brackets_ = 0;
  int dots_ = 0;
  int values_ = 0;
};

}  // namespace

void check_nesting(const Source& source) {
  if (const std::optional<Excess> excess = Walk(source.text()).first_excess()) {
    fail(source, Code::syntax, {excess->offset, 1}, excess->message, excess->suggestion);
  }
}

}  // namespace libloop::files
