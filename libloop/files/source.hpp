// The text of a file, known to be safe to parse, and the places in it.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "libloop/base/error.hpp"

namespace libloop::files {

class Source {
 public:
  // Throws InputError unless the bytes are UTF-8 text of at most 1 MiB, without control
  // characters and of a shape and size that can be parsed in reasonable time. A byte order mark is
  // left out.
  Source(std::string_view bytes, std::string file);

  const std::string& text() const { return text_; }
  const std::string& file() const { return file_; }

  // The place of some bytes of the text, within the line they start in.
  Place at(std::size_t offset, std::size_t length) const;

 private:
  std::string_view line_at(std::size_t start) const;
  void check_characters() const;
  void check_size() const;
  [[noreturn]] void fail(Code code, std::size_t offset, std::string message,
                         std::string suggestion) const;

  std::string text_;
  std::string file_;
  std::vector<std::size_t> starts_;  // of the lines
};

}  // namespace libloop::files
