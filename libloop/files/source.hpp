// The text of a file, known to be text of a sensible size, and the places in it.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "libloop/base/error.hpp"

namespace libloop::files {

// Some bytes of a text.
struct Span {
  std::size_t offset = 0, length = 0;
};

inline constexpr std::size_t mebibyte = 1024 * 1024;

class Source {
 public:
  // Throws InputError unless the bytes are UTF-8 text of at most `mebibytes`, without control
  // characters, in lines of at most 64 KiB. A byte order mark is left out.
  Source(std::string_view bytes, std::string file, std::size_t mebibytes = 1);

  const std::string& text() const { return text_; }
  const std::string& file() const { return file_; }

  // The place of some bytes of the text, within the line they start in.
  Place at(std::size_t offset, std::size_t length) const;

 private:
  std::string_view line_at(std::size_t start) const;
  void check_characters() const;
  void check_lines() const;
  [[noreturn]] void fail_text(std::size_t offset, std::string message,
                              std::string suggestion) const;

  std::string text_;
  std::string file_;
  std::vector<std::size_t> starts_;  // of the lines
};

// Throws InputError with one problem, at some bytes of the text.
[[noreturn]] void fail(const Source& source, Code code, const Span& span, std::string message,
                       std::string suggestion);

}  // namespace libloop::files
