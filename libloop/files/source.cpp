#include "libloop/files/source.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <utility>

#include "libloop/base/text.hpp"

namespace libloop::files {
namespace {

constexpr std::size_t largest = 1024 * 1024;
constexpr std::size_t longest_shown = 400;  // of a line in a message
constexpr std::size_t longest_line = 64 * 1024;
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

std::vector<std::size_t> line_starts(std::string_view text) {
  std::vector<std::size_t> starts{0};
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '\n') starts.push_back(i + 1);
  }
  return starts;
}

}  // namespace

Source::Source(std::string_view bytes, std::string file) : file_(std::move(file)) {
  if (bytes.size() > largest) {
    throw InputError(Problem{Code::file,
                             fmt::format("the file has {} bytes", bytes.size()),
                             fmt::format("Files have at most {} bytes (1 MiB).", largest),
                             {file_, 0, 0, 1, {}}});
  }
  constexpr std::string_view mark = "\xEF\xBB\xBF";
  if (bytes.substr(0, mark.size()) == mark) bytes.remove_prefix(mark.size());
  text_ = bytes;
  starts_ = line_starts(text_);
  check_characters();
  check_size();
}

void Source::check_characters() const {
  const std::optional<std::size_t> bad = text::first_bad_byte(text_);
  if (!bad) return;
  const auto byte = static_cast<unsigned char>(text_[*bad]);
  const bool control = byte < 0x80;
  fail(Code::file, *bad,
       control ? fmt::format("control character 0x{:02X}", byte)
               : fmt::format("byte 0x{:02X} is not UTF-8 text", byte),
       control ? "Remove it; a file holds printable text." : "Save the file as UTF-8 text.");
}

void Source::check_size() const {
  for (std::size_t i = 0; i < starts_.size(); ++i) {
    const std::size_t end = i + 1 < starts_.size() ? starts_[i + 1] : text_.size();
    if (end - starts_[i] > longest_line) {
      fail(Code::file, starts_[i], fmt::format("a line of {} bytes", end - starts_[i]),
           fmt::format("Break it; lines have at most {} bytes.", longest_line));
    }
  }
  if (const std::optional<Excess> excess = Walk(text_).first_excess()) {
    fail(Code::syntax, excess->offset, excess->message, excess->suggestion);
  }
}

void Source::fail(Code code, std::size_t offset, std::string message,
                  std::string suggestion) const {
  Place place = at(offset, 1);
  // A line that is no text must not be printed.
  if (text::first_bad_byte(place.text)) place.text.clear();
  throw InputError(Problem{code, std::move(message), std::move(suggestion), std::move(place)});
}

std::string_view Source::line_at(std::size_t start) const {
  const std::size_t end = std::min(text_.find('\n', start), text_.size());
  std::string_view line = std::string_view(text_).substr(start, end - start);
  if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
  return line;
}

Place Source::at(std::size_t offset, std::size_t length) const {
  offset = std::min(offset, text_.size());
  const auto next = std::upper_bound(starts_.begin(), starts_.end(), offset);
  const std::size_t start = *(next - 1);
  const std::string_view line = line_at(start);
  const std::size_t before = std::min(offset - start, line.size());
  const std::string_view marked = line.substr(before, length);

  Place place;
  place.file = file_;
  place.line = static_cast<int>(next - starts_.begin());
  place.column = static_cast<int>(before) + 1;
  place.length = std::max(1, static_cast<int>(text::width(marked)));
  // Of a very long line nothing is shown: the mark would be off the screen.
  if (line.size() <= longest_shown) place.text = line;
  return place;
}

}  // namespace libloop::files
