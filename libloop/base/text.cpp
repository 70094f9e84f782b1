#include "libloop/base/text.hpp"

#include <fast_float/fast_float.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace libloop::text {
namespace {

constexpr std::size_t longest_compared = 64;

std::string lower(std::string_view text) {
  std::string out(text);
  for (char& c : out) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return out;
}

// Edits (insert, delete, replace, swap of neighbours) that turn a into b.
std::size_t distance(const std::string& a, const std::string& b) {
  const std::size_t columns = b.size() + 1;
  std::vector<std::size_t> before(columns), last(columns), row(columns);
  for (std::size_t j = 0; j < columns; ++j) last[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    row[0] = i;
    for (std::size_t j = 1; j < columns; ++j) {
      const std::size_t replace = last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
      row[j] = std::min({last[j] + 1, row[j - 1] + 1, replace});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
        row[j] = std::min(row[j], before[j - 2] + 1);
      }
    }
    before.swap(last);
    last.swap(row);
  }
  return last[columns - 1];
}

// Bytes of the UTF-8 sequence that starts at `at`, 0 if it is not valid.
std::size_t sequence_length(std::string_view bytes, std::size_t at) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(bytes[at + i]); };
  const unsigned char first = byte(0);
  if (first < 0x80) return 1;
  std::size_t length = 0;
  unsigned code = 0;
  if ((first & 0xE0) == 0xC0) {
    length = 2;
    code = first & 0x1Fu;
  } else if ((first & 0xF0) == 0xE0) {
    length = 3;
    code = first & 0x0Fu;
  } else if ((first & 0xF8) == 0xF0) {
    length = 4;
    code = first & 0x07u;
  } else {
    return 0;
  }
  if (at + length > bytes.size()) return 0;
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(i) & 0xC0) != 0x80) return 0;
    code = (code << 6) | (byte(i) & 0x3Fu);
  }
  const unsigned smallest[] = {0, 0, 0x80, 0x800, 0x10000};
  const bool surrogate = code >= 0xD800 && code <= 0xDFFF;
  return code < smallest[length] || code > 0x10FFFF || surrogate ? 0 : length;
}

}  // namespace

std::optional<std::string> nearest(std::string_view seen, const std::vector<std::string>& known) {
  if (seen.empty() || seen.size() > longest_compared) return std::nullopt;
  const std::string wanted = lower(seen);
  const std::size_t allowed = std::max<std::size_t>(1, wanted.size() / 3);
  std::optional<std::string> best;
  std::size_t fewest = allowed + 1;
  for (const std::string& word : known) {
    if (word.size() > longest_compared) continue;
    const std::size_t edits = distance(wanted, lower(word));
    if (edits < fewest) {
      fewest = edits;
      best = word;
    }
  }
  return best;
}

std::string did_you_mean(std::string_view seen, const std::vector<std::string>& known) {
  const std::optional<std::string> word = nearest(seen, known);
  return word ? fmt::format("Did you mean '{}'?", *word) : std::string();
}

std::size_t width(std::string_view utf8) {
  std::size_t columns = 0;
  for (const char c : utf8) {
    if ((static_cast<unsigned char>(c) & 0xC0) != 0x80) ++columns;
  }
  return columns;
}

std::string_view cut(std::string_view utf8, std::size_t bytes) {
  if (utf8.size() <= bytes) return utf8;
  while (bytes > 0 && (static_cast<unsigned char>(utf8[bytes]) & 0xC0) == 0x80) --bytes;
  return utf8.substr(0, bytes);
}

std::optional<std::size_t> first_bad_byte(std::string_view bytes) {
  for (std::size_t at = 0; at < bytes.size();) {
    const auto c = static_cast<unsigned char>(bytes[at]);
    const bool control = (c < 0x20 && c != '\t' && c != '\n' && c != '\r') || c == 0x7F;
    const std::size_t length = control ? 0 : sequence_length(bytes, at);
    if (length == 0) return at;
    at += length;
  }
  return std::nullopt;
}

std::string number(double value, int digits) {
  const double size = std::abs(value);
  if (!std::isfinite(size)) return fmt::format("{}", value);
  if (size != 0.0 && (size < 1e-4 || size >= 1e6)) return fmt::format("{:.{}g}", value, digits);
  if (size == 0.0) return "0";
  const int before = static_cast<int>(std::floor(std::log10(size))) + 1;
  std::string out = fmt::format("{:.{}f}", value, std::max(0, digits - before));
  if (out.find('.') != std::string::npos) {
    out.erase(out.find_last_not_of('0') + 1);
    if (out.back() == '.') out.pop_back();
  }
  return out;
}

std::vector<std::string> split(std::string_view text, char separator) {
  std::vector<std::string> pieces;
  std::size_t start = 0;
  for (std::size_t i = 0; i <= text.size(); ++i) {
    if (i == text.size() || text[i] == separator) {
      pieces.emplace_back(text.substr(start, i - start));
      start = i + 1;
    }
  }
  return pieces;
}

std::string_view trim(std::string_view text) {
  const std::size_t first = text.find_first_not_of(" \t\r\n");
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(" \t\r\n") - first + 1);
}

std::optional<double> parse_number(std::string_view text) {
  if (!text.empty() && text.front() == '+') {
    text.remove_prefix(1);
    if (!text.empty() && text.front() == '-') return std::nullopt;
  }
  double value = 0.0;
  const auto result = fast_float::from_chars(text.data(), text.data() + text.size(), value);
  if (result.ec != std::errc() || result.ptr != text.data() + text.size()) return std::nullopt;
  return std::isfinite(value) ? std::optional<double>(value) : std::nullopt;
}

std::string list(const std::vector<std::string>& words, std::string_view last) {
  std::string out;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0) out += i + 1 == words.size() ? fmt::format(" {} ", last) : ", ";
    out += words[i];
  }
  return out;
}

}  // namespace libloop::text
