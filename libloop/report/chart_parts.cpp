#include "libloop/report/chart_parts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/report/chart_text.hpp"

namespace libloop::report {
namespace {

constexpr double title_size = 46.0, subtitle_size = 32.0;
constexpr double title_y = 58.0, subtitle_y = 112.0;
constexpr double foot_y = 1048.0, foot_pitch = 36.0;  // px
constexpr std::size_t lines_a_note = 2;

}  // namespace

void Reach::add(double value) {
  low = std::min(low, value);
  high = std::max(high, value);
}

Reach Reach::padded(double share) const {
  if (empty()) return {0.0, 1.0};
  double room = share * (high - low);
  // One value alone, or several that do not differ: a range about it.
  if (room <= 1e-9 * std::max(std::abs(low), std::abs(high))) {
    room = std::max(1.0, 0.05 * std::abs(high));
  }
  return {low - room, high + room};
}

std::vector<double> round_values(double low, double high, int about) {
  const double rough = (high - low) / about;
  const double power = std::pow(10.0, std::floor(std::log10(rough)));
  double step = 10.0 * power;
  for (const double times : {1.0, 2.0, 5.0}) {
    if (times * power >= rough * (1.0 - 1e-9)) {
      step = times * power;
      break;
    }
  }
  std::vector<double> all;
  const double first = std::ceil(low / step - 1e-9);
  for (int i = 0; i < 100 && (first + i) * step <= high + 1e-9 * step; ++i) {
    all.push_back((first + i) * step);
  }
  return all;
}

std::vector<Tick> ticks(const std::vector<double>& at, char decimal_mark) {
  int decimals = 0;
  if (at.size() > 1) {
    decimals = std::clamp(static_cast<int>(-std::floor(std::log10(at[1] - at[0]) + 1e-9)), 0, 6);
  }
  std::vector<Tick> all;
  for (const double value : at) all.push_back({value, decimal(value, decimals, decimal_mark)});
  return all;
}

std::string decimal(double value, int decimals, char decimal_mark) {
  std::string out = fmt::format("{:.{}f}", value, decimals);
  if (out.front() == '-' && out.find_first_not_of("-0.") == std::string::npos) out.erase(0, 1);
  std::replace(out.begin(), out.end(), '.', decimal_mark);
  return out;
}

double head_and_foot(Chart& chart, const std::string& title, const std::string& subtitle,
                     const std::vector<std::string>& notes) {
  const double room = foot_width;
  const double size = fitting_size(title, room, title_size, true);
  chart.title = {
      fitted(title, room, size, true), page_margin, title_y, Align::left, size, true, {}};
  chart.title.look.emphasis = Emphasis::strong;
  const double small = fitting_size(subtitle, room, subtitle_size);
  chart.subtitle = {
      fitted(subtitle, room, small), page_margin, subtitle_y, Align::left, small, false, {}};
  std::vector<std::string> lines;
  for (const std::string& note : notes) {
    for (std::string& line : wrapped(note, room, smallest_text, lines_a_note)) {
      lines.push_back(std::move(line));
    }
  }
  double y = foot_y - foot_pitch * static_cast<double>(lines.size());
  const double top = y;
  for (const std::string& line : lines) {
    y += foot_pitch;
    chart.footnotes.push_back({line, page_margin, y, Align::left, smallest_text, false, {}});
    chart.footnotes.back().look.emphasis = Emphasis::muted;
  }
  return top + foot_pitch / 2.0;
}

}  // namespace libloop::report
