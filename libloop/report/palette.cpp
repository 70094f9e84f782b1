#include "libloop/report/palette.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

namespace libloop::report {
namespace {

struct Rgb {
  double red, green, blue;  // 0 to 255
};

constexpr std::array<Rgb, colour_count> palette = {{{0, 114, 178},     // blue
                                                    {213, 94, 0},      // vermilion
                                                    {0, 158, 115},     // bluish green
                                                    {204, 121, 167},   // reddish purple
                                                    {230, 159, 0},     // orange
                                                    {86, 180, 233}}};  // sky blue
constexpr Rgb black{34, 34, 34}, white{255, 255, 255};

Rgb blend(const Rgb& a, const Rgb& b, double share) {
  return {a.red + share * (b.red - a.red), a.green + share * (b.green - a.green),
          a.blue + share * (b.blue - a.blue)};
}

std::string hex(const Rgb& c) {
  return fmt::format("#{:02x}{:02x}{:02x}", static_cast<int>(std::lround(c.red)),
                     static_cast<int>(std::lround(c.green)), static_cast<int>(std::lround(c.blue)));
}

Rgb of(const Look& look) {
  if (look.colour < 0) return black;
  return palette[static_cast<std::size_t>(look.colour % colour_count)];
}

// FNV-1a, 64 bits (Fowler, Noll, Vo): the same on every machine.
std::uint64_t hash(const std::string& text) {
  std::uint64_t value = 14695981039346656037ULL;
  for (const char c : text) value = (value ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
  return value;
}

}  // namespace

std::map<std::string, Look> looks_of(std::vector<std::string> titles) {
  std::sort(titles.begin(), titles.end());
  titles.erase(std::unique(titles.begin(), titles.end()), titles.end());
  std::array<int, colour_count> taken{};  // by so many coolers
  std::map<std::string, Look> looks;
  for (const std::string& title : titles) {
    const auto start = static_cast<std::size_t>(hash(title) % colour_count);
    std::size_t best = start;
    for (std::size_t i = 1; i < colour_count; ++i) {
      const std::size_t next = (start + i) % colour_count;
      if (taken[next] < taken[best]) best = next;
    }
    const int colour = static_cast<int>(best), round = taken[best]++;
    looks[title] = {colour, (colour + round) % shape_count, (colour + round) % dash_count,
                    Emphasis::plain};
  }
  return looks;
}

std::string mark_colour(const Look& look) {
  // Ink is the darkest of all: as pale as the colours it would still outdo them.
  const double muted = look.colour < 0 ? 0.55 : 0.35;
  const double paler = look.emphasis == Emphasis::muted ? muted : 0.0;
  return hex(blend(of(look), white, paler));
}

std::string text_colour(const Look& look) {
  if (look.emphasis == Emphasis::muted) return hex(blend(black, white, 0.3));
  return hex(blend(of(look), black, 0.4));
}

std::string fill_colour(const Look& look) {
  switch (look.emphasis) {
    case Emphasis::strong:
      return hex(blend(of(look), white, 0.65));
    case Emphasis::plain:
      return hex(blend(of(look), white, 0.8));
    case Emphasis::muted:
      break;
  }
  return hex(blend(of(look), white, 0.92));
}

double line_width(Emphasis emphasis) {
  switch (emphasis) {
    case Emphasis::strong:
      return 7.0;
    case Emphasis::plain:
      return 4.0;
    case Emphasis::muted:
      break;
  }
  return 3.0;
}

}  // namespace libloop::report
