#include "libloop/files/measured_reasons.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "libloop/base/text.hpp"
#include "libloop/files/tolerant_cells.hpp"

namespace libloop::files {
namespace {

constexpr std::size_t most_reasons = 50;
constexpr std::size_t lines_told = 5;  // of each

}  // namespace

void Reasons::add(const std::string& words, int line, const std::string& cooler) {
  const bool full = all_.size() >= most_reasons && index_.find(words) == index_.end();
  const std::string key = full ? "other reasons" : words;
  const auto [known, fresh] = index_.emplace(key, all_.size());
  if (fresh) all_.push_back({key, {}, {}, 0});
  Reason& one = all_[known->second];
  if (one.lines.size() < lines_told) {
    one.lines.push_back(std::to_string(line));
    const bool named =
        std::find(one.coolers.begin(), one.coolers.end(), cooler) != one.coolers.end();
    if (!cooler.empty() && !named) one.coolers.push_back(cooler);
  }
  ++one.count;
}

std::vector<LeftOut> Reasons::told() const {
  std::vector<LeftOut> out;
  for (const Reason& one : all_) {
    std::vector<std::string> lines = one.lines;
    const auto more = one.count - static_cast<long long>(lines.size());
    if (more > 0) lines.push_back(fmt::format("{} more", more));
    std::vector<std::string> coolers;
    for (const std::string& cooler : one.coolers) coolers.push_back(quoted_cell(cooler));
    const bool others = more > 0 && !coolers.empty();
    out.push_back(
        {one.count,
         fmt::format(
             "{} ({} {}){}", one.words, one.count == 1 ? "line" : "lines", text::list(lines),
             coolers.empty() ? "" : (others ? ", as of " : ", of ") + text::list(coolers))});
  }
  return out;
}

}  // namespace libloop::files
