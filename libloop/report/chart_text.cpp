#include "libloop/report/chart_text.hpp"

#include <algorithm>
#include <array>

#include "libloop/base/text.hpp"

namespace libloop::report {
namespace {

// Advances of the characters from blank to tilde, 1/1000 of the size.
using Advances = std::array<short, 95>;
constexpr Advances regular = {
    318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361,  318, 337, 636, 636, 636,
    636, 636, 636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 531, 1000, 684, 686, 698, 770, 632,
    575, 775, 752, 295, 295, 656, 557, 863, 748, 787, 603, 787, 695, 635,  611, 732, 684, 989, 685,
    611, 685, 390, 337, 390, 838, 500, 500, 613, 635, 550, 635, 615, 352,  635, 634, 278, 278, 579,
    278, 974, 634, 612, 635, 635, 411, 521, 392, 634, 592, 818, 592, 592,  525, 636, 337, 636, 838};
constexpr Advances heavy = {
    348,  456, 521, 838, 696, 1002, 872, 306,  457, 457, 523, 838, 380, 415,  380, 365,
    696,  696, 696, 696, 696, 696,  696, 696,  696, 696, 400, 400, 838, 838,  838, 580,
    1000, 774, 762, 734, 830, 683,  683, 821,  837, 372, 372, 775, 637, 995,  837, 850,
    733,  850, 770, 720, 682, 812,  774, 1103, 771, 724, 725, 457, 365, 457,  838, 500,
    500,  675, 716, 593, 716, 678,  435, 716,  712, 343, 343, 665, 343, 1042, 712, 687,
    716,  716, 493, 595, 478, 712,  652, 924,  645, 652, 582, 712, 365, 712,  838};

constexpr double latin = 0.84, wide = 1.05;  // of the size
constexpr char32_t replacement = 0xFFFD, last_latin = 0x24F, first_wide = 0x1100;

struct Decoded {
  char32_t point = replacement;
  std::size_t length = 1;
};

Decoded decode(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned char first = byte(at);
  if (first < 0x80) return {first, 1};
  const std::size_t length = first >= 0xF0 ? 4 : first >= 0xE0 ? 3 : 2;
  if (first < 0xC2 || first > 0xF4 || at + length > text.size()) return {};
  char32_t point = first & (0xFFu >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(at + i) & 0xC0) != 0x80) return {};
    point = (point << 6) | (byte(at + i) & 0x3Fu);
  }
  const bool overlong = (length == 3 && point < 0x800) || (length == 4 && point < 0x10000);
  const bool surrogate = point >= 0xD800 && point <= 0xDFFF;
  if (overlong || surrogate || point > 0x10FFFF) return {};
  return {point, length};
}

bool control(char32_t c) { return c < 0x20 || (c >= 0x7F && c < 0xA0); }
// Turns the direction of what follows, or parts lines and paragraphs.
bool steering(char32_t c) { return (c >= 0x2028 && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069); }

double advance(char32_t c, bool bold) {
  if (c >= 0x20 && c < 0x7F) return 1e-3 * (bold ? heavy : regular)[c - 0x20];
  const double em = c <= last_latin || c < first_wide ? latin : wide;
  return bold ? 1.1 * em : em;
}

}  // namespace

std::string plain(std::string_view text) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    const Decoded d = decode(text, at);
    if (d.point == U'\n' || d.point == U'\t') {
      out += ' ';
    } else if (d.point == replacement || d.point == 0xFFFE || d.point == 0xFFFF) {
      out += "\xEF\xBF\xBD";
    } else if (!control(d.point) && !steering(d.point)) {
      out += text.substr(at, d.length);
    }
    at += d.length;
  }
  return out;
}

double text_px(std::string_view words, double size, bool bold) {
  double em = 0.0;
  for (std::size_t at = 0; at < words.size();) {
    const Decoded d = decode(words, at);
    em += advance(d.point, bold);
    at += d.length;
  }
  return em * size;
}

std::string fitted(std::string_view words, double room, double size, bool bold) {
  std::string out = plain(words);
  constexpr double rounding = 1e-6;  // px: room may have been measured by this very text
  if (text_px(out, size, bold) <= room + rounding) return out;
  while (!out.empty() && text_px(out + "…", size, bold) > room) {
    out = text::cut(out, out.size() - 1);
  }
  return std::string(text::trim(out)) + "…";
}

double fitting_size(std::string_view words, double room, double size, bool bold) {
  const double needed = text_px(plain(words), size, bold);
  if (needed <= room) return size;
  return std::max(smallest_text, size * room / needed);
}

Box box_of(const Text& text) {
  constexpr double half_height = 0.6;  // of the size
  const double width = text_px(text.words, text.size, text.bold);
  const double left = text.align == Align::left     ? text.x
                      : text.align == Align::middle ? text.x - width / 2.0
                                                    : text.x - width;
  return {left, text.y - half_height * text.size, left + width, text.y + half_height * text.size};
}

bool overlap(const Box& a, const Box& b) {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

bool holds(const Box& box, const XY& point) {
  return point.x > box.left && point.x < box.right && point.y > box.top && point.y < box.bottom;
}

bool on_page(const Box& box) {
  return box.left >= 0.0 && box.right <= page_right && box.top >= 0.0 && box.bottom <= page_bottom;
}

std::vector<std::string> wrapped(std::string_view words, double room, double size,
                                 std::size_t most) {
  const std::string clean = plain(words);
  std::vector<std::string> lines;
  for (const std::string& word : text::split(clean, ' ')) {
    const bool first = lines.empty();
    const std::string longer = first ? word : lines.back() + ' ' + word;
    if (first || text_px(longer, size) > room) {
      if (lines.size() == most) {
        lines.back() = fitted(longer, room, size);
        return lines;
      }
      lines.push_back(word);
    } else {
      lines.back() = longer;
    }
  }
  for (std::string& line : lines) line = fitted(line, room, size);
  return lines;
}

}  // namespace libloop::report
