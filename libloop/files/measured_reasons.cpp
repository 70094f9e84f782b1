#include "libloop/files/measured_reasons.hpp"

#include <fmt/format.h>

#include "libloop/base/text.hpp"

namespace libloop::files {
namespace {

constexpr std::size_t most_reasons = 50;
constexpr std::size_t lines_told = 5;  // of each

}  // namespace

void Reasons::add(const std::string& words, int line) {
  const bool full = all_.size() >= most_reasons && index_.find(words) == index_.end();
  const std::string key = full ? "other reasons" : words;
  const auto [known, fresh] = index_.emplace(key, all_.size());
  if (fresh) all_.push_back({key, {}, 0});
  Reason& one = all_[known->second];
  if (one.lines.size() < lines_told) one.lines.push_back(std::to_string(line));
  ++one.count;
}

std::vector<LeftOut> Reasons::told() const {
  std::vector<LeftOut> out;
  for (const Reason& one : all_) {
    std::vector<std::string> lines = one.lines;
    const auto more = one.count - static_cast<long long>(lines.size());
    if (more > 0) lines.push_back(fmt::format("{} more", more));
    out.push_back({one.count, fmt::format("{} ({} {})", one.words,
                                          one.count == 1 ? "line" : "lines", text::list(lines))});
  }
  return out;
}

}  // namespace libloop::files
