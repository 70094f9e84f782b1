// Text that comes in pieces, cut into lines: LF, CR LF, CR.
#pragma once

#include <string>
#include <string_view>

namespace libloop::files {

inline constexpr std::size_t longest_log_line = 256 * 1024;  // bytes

class LineCutter {
 public:
  void add(std::string_view text);

  // The next line, without its end; it holds until the next `add`. A quote that stays open takes
  // in at most three lines more, if it closes there. `last`: no text will follow; then the rest
  // is a line, too. False when there is no whole line yet.
  bool next(std::string_view& line, bool last);

  int number() const { return number_; }  // of the line that `next` gave
  // Whether that line had an end.
  bool ended() const { return ended_; }
  // Bytes that wait for the end of their line.
  std::size_t waiting() const { return text_.size() - at_; }

 private:
  std::size_t joined_end(std::size_t end, bool last, bool& wait) const;

  std::string text_;
  std::size_t at_ = 0;
  std::size_t searched_ = 0;  // up to here there is no line end
  int number_ = 0, following_ = 1;
  bool ended_ = false, skip_feed_ = false;
};

// Whether a quote that opens a cell stays open at the end of a line.
bool leaves_quote_open(std::string_view line);

}  // namespace libloop::files
