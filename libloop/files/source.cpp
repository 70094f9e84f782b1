#include "libloop/files/source.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <utility>

#include "libloop/base/text.hpp"

namespace libloop::files {
namespace {

constexpr std::size_t longest_shown = 400;  // of a line in a message
constexpr std::size_t longest_line = 64 * 1024;

std::vector<std::size_t> line_starts(std::string_view text) {
  std::vector<std::size_t> starts{0};
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '\n') starts.push_back(i + 1);
  }
  return starts;
}

}  // namespace

Source::Source(std::string_view bytes, std::string file, std::size_t mebibytes)
    : file_(std::move(file)) {
  const std::size_t largest = mebibytes * mebibyte;
  if (bytes.size() > largest) {
    throw InputError(Problem{
        Code::file,
        fmt::format("the file has {} bytes", bytes.size()),
        fmt::format("Files of this kind have at most {} bytes ({} MiB).", largest, mebibytes),
        {file_, 0, 0, 1, {}}});
  }
  constexpr std::string_view mark = "\xEF\xBB\xBF";
  if (bytes.substr(0, mark.size()) == mark) bytes.remove_prefix(mark.size());
  text_ = bytes;
  starts_ = line_starts(text_);
  check_characters();
  check_lines();
}

void Source::check_characters() const {
  const std::optional<std::size_t> bad = text::first_bad_byte(text_);
  if (!bad) return;
  const auto byte = static_cast<unsigned char>(text_[*bad]);
  const bool control = byte < 0x80;
  fail_text(*bad,
            control ? fmt::format("control character 0x{:02X}", byte)
                    : fmt::format("byte 0x{:02X} is not UTF-8 text", byte),
            control ? "Remove it; a file holds printable text." : "Save the file as UTF-8 text.");
}

void Source::check_lines() const {
  for (std::size_t i = 0; i < starts_.size(); ++i) {
    const std::size_t end = i + 1 < starts_.size() ? starts_[i + 1] : text_.size();
    if (end - starts_[i] > longest_line) {
      fail_text(starts_[i], fmt::format("a line of {} bytes", end - starts_[i]),
                fmt::format("Break it; lines have at most {} bytes.", longest_line));
    }
  }
}

void Source::fail_text(std::size_t offset, std::string message, std::string suggestion) const {
  Place place = at(offset, 1);
  // A line that is no text must not be printed.
  if (text::first_bad_byte(place.text)) place.text.clear();
  throw InputError(
      Problem{Code::file, std::move(message), std::move(suggestion), std::move(place)});
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

void fail(const Source& source, Code code, const Span& span, std::string message,
          std::string suggestion) {
  throw InputError(Problem{code, std::move(message), std::move(suggestion),
                           source.at(span.offset, span.length)});
}

}  // namespace libloop::files
