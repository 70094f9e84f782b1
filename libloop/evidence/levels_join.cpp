#include "libloop/evidence/levels_join.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/text.hpp"
#include "libloop/evidence/budget.hpp"
#include "libloop/quantity/unit.hpp"

namespace libloop {
namespace {

constexpr double near = 0.03;
// dB a factor of ten in speed, for what a small difference in speed does: AMCA 301, from memory.
constexpr double per_decade = 50.0;

using Key = std::optional<double> Level::*;

std::vector<const Level*> sorted(const std::vector<Level>& levels, Key key) {
  std::vector<const Level*> with;
  for (const Level& one : levels) {
    if (one.*key && *(one.*key) > 0.0) with.push_back(&one);
  }
  std::stable_sort(with.begin(), with.end(),
                   [key](const Level* a, const Level* b) { return *(a->*key) < *(b->*key); });
  return with;
}

std::string told(Key key, double at) {
  return key == &Level::fan_share ? show(at, "%", 3) : show(at, "rpm", 4);
}

JoinedLevel between(const Level& below, const Level& above, Key key, double at) {
  const double low = *(below.*key), high = *(above.*key);
  const double share = std::log(at / low) / std::log(high / low);
  Level level;
  level.*key = at;
  level.level = below.level + share * (above.level - below.level);
  // Both were read by one meter: their doubts go together.
  level.u = (1.0 - share) * below.u + share * above.u;
  level.bound = below.bound || above.bound;
  level.readings = below.readings + above.readings;
  return {level, fmt::format("The level at {} is read between those at {} and {}.", told(key, at),
                             told(key, low), told(key, high))};
}

JoinedLevel found(const std::vector<const Level*>& levels, Key key, double at) {
  const Level* nearest = nullptr;
  double distance = near;
  for (const Level* one : levels) {
    const double off = std::abs(at / *(one->*key) - 1.0);
    if (off <= distance) distance = off, nearest = one;
  }
  if (nearest != nullptr) {
    JoinedLevel joined{*nearest, {}};
    const double off = per_decade * std::abs(std::log10(at / *(nearest->*key)));
    joined.level->u = std::hypot(nearest->u, rectangular(off));
    return joined;
  }
  for (std::size_t i = 1; i < levels.size(); ++i) {
    if (*(levels[i - 1]->*key) <= at && at <= *(levels[i]->*key)) {
      return between(*levels[i - 1], *levels[i], key, at);
    }
  }
  return {{},
          fmt::format("No level: {} lies outside the table of levels, {} to {}.", told(key, at),
                      told(key, *(levels.front()->*key)), told(key, *(levels.back()->*key)))};
}

}  // namespace

JoinedLevel level_at(const std::vector<Level>& levels, std::optional<double> fan_share,
                     std::optional<double> fan_speed) {
  for (const auto& [key, at] :
       {std::pair{&Level::fan_share, fan_share}, std::pair{&Level::fan_speed, fan_speed}}) {
    if (!at || *at <= 0.0) continue;
    const std::vector<const Level*> with = sorted(levels, key);
    if (!with.empty()) return found(with, key, *at);
  }
  return {{}, "No level: the table of levels and the log have no kind of fan speed in common."};
}

}  // namespace libloop
