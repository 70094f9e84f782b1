#include "libloop/files/tolerant_lines.hpp"

#include <algorithm>

namespace libloop::files {
namespace {

constexpr int most_joined = 3;                // lines behind the one that opens a quote
constexpr std::size_t longest_joined = 4000;  // bytes of them together

}  // namespace

bool leaves_quote_open(std::string_view line) {
  bool open = false, start = true;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const char c = line[i];
    if (open) {
      if (c != '"') continue;
      if (i + 1 < line.size() && line[i + 1] == '"') {
        ++i;
      } else {
        open = false;
      }
    } else if (c == '"' && start) {
      open = true;
      start = false;
    } else if (c != ' ') {
      start = c == ',' || c == ';' || c == '\t' || c == '\n' || c == '\r';
    }
  }
  return open;
}

void LineCutter::add(std::string_view text) {
  if (skip_feed_ && !text.empty()) {
    if (text.front() == '\n') text.remove_prefix(1);
    skip_feed_ = false;
  }
  if (at_ > 0) {
    text_.erase(0, at_);
    searched_ -= std::min(searched_, at_);
    at_ = 0;
  }
  text_ += text;
}

// The end of the line in which the quote closes that is open at `end`; `end` when it does not.
std::size_t LineCutter::joined_end(std::size_t end, bool last, bool& wait) const {
  const std::string_view text = text_;
  if (!leaves_quote_open(text.substr(at_, end - at_))) return end;
  std::size_t stop = end;
  for (int i = 0; i < most_joined; ++i) {
    std::size_t from = stop + 1;
    if (text[stop] == '\r' && from < text.size() && text[from] == '\n') ++from;
    if (from > text.size()) from = text.size();
    stop = text.find_first_of("\r\n", from);
    const bool missing = stop == std::string_view::npos;
    if (missing) stop = text.size();
    if (stop - at_ > longest_joined) return end;
    if (missing && !last) {
      wait = true;
      return end;
    }
    if (!leaves_quote_open(text.substr(at_, stop - at_))) return stop;
    if (missing) return end;
  }
  return end;
}

bool LineCutter::next(std::string_view& line, bool last) {
  const std::string_view text = text_;
  std::size_t end = text.find_first_of("\r\n", std::max(at_, searched_));
  if (end == std::string_view::npos) {
    searched_ = text.size();
    if (!last || at_ == text.size()) return false;
    end = text.size();
  } else {
    bool wait = false;
    const bool quoted = text.substr(at_, end - at_).find('"') != std::string_view::npos;
    if (quoted) end = joined_end(end, last, wait);
    if (wait) return false;
  }
  line = text.substr(at_, end - at_);
  number_ = following_;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const bool pair = line[i] == '\r' && i + 1 < line.size() && line[i + 1] == '\n';
    if ((line[i] == '\n' || line[i] == '\r') && !pair) ++following_;
  }
  ++following_;
  ended_ = end < text.size();
  at_ = std::min(end + 1, text.size());
  if (ended_ && text[end] == '\r') {
    if (at_ == text.size()) {
      skip_feed_ = true;
    } else if (text[at_] == '\n') {
      ++at_;
    }
  }
  return true;
}

}  // namespace libloop::files
