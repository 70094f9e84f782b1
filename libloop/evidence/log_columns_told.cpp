#include "libloop/evidence/log_columns_told.hpp"

#include <fmt/format.h>

#include <vector>

#include "libloop/base/text.hpp"

namespace libloop::evidence {

std::string columns_told(const Log& log) {
  std::vector<std::string> used;
  for (const Series& one : log.series) {
    if (one.heading.empty()) continue;
    used.push_back(fmt::format("'{}' is {}", one.heading, declared(one.channel).name));
  }
  std::string words;
  constexpr std::size_t longest = 300;
  if (!used.empty()) words = fmt::format(" Its columns: {}.", text::cut(text::list(used), longest));
  // The reader tells the others so.
  for (const std::string& decision : log.decisions) {
    if (decision.rfind("Columns not used", 0) == 0)
      words += fmt::format(" {}", text::cut(decision, longest));
  }
  return words;
}

}  // namespace libloop::evidence
