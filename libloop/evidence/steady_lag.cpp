#include "libloop/evidence/steady_lag.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

namespace libloop {
namespace {

constexpr std::size_t most_blocks = 100;
constexpr std::size_t fewest_blocks = 8;

struct Block {
  double time = 0.0, level = 0.0;
};

std::vector<Block> blocks(std::span<const double> times, std::span<const double> values) {
  const std::size_t size = (values.size() + most_blocks - 1) / most_blocks;
  std::vector<Block> all;
  for (std::size_t i = 0; i + size <= values.size(); i += size) {
    Block block;
    for (std::size_t k = i; k < i + size; ++k) {
      block.time += times[k] / static_cast<double>(size);
      block.level += values[k] / static_cast<double>(size);
    }
    all.push_back(block);
  }
  return all;
}

struct End {
  double level = 0.0, scatter = 0.0;
};

End end_of(std::span<const Block> all) {
  const std::span<const Block> last = all.last(std::max<std::size_t>(all.size() / 5, 2));
  const double n = static_cast<double>(last.size());
  End end;
  for (const Block& block : last) end.level += block.level / n;
  for (const Block& block : last) end.scatter += std::pow(block.level - end.level, 2) / (n - 1.0);
  end.scatter = std::sqrt(end.scatter);
  return end;
}

struct Line {
  double left = 0.0, squares = 0.0;
};

// level + left exp(-(t - start)/lag), by least squares.
Line fitted(std::span<const Block> all, double lag) {
  const double n = static_cast<double>(all.size());
  double x = 0.0, y = 0.0, xx = 0.0, xy = 0.0, yy = 0.0;
  const double base = all.back().level;
  for (const Block& block : all) {
    const double e = std::exp(-(block.time - all.front().time) / lag), v = block.level - base;
    x += e, y += v, xx += e * e, xy += e * v, yy += v * v;
  }
  const double spread = xx - x * x / n;
  if (!(spread > 0.0)) return {.left = 0.0, .squares = yy - y * y / n};
  const double left = (xy - x * y / n) / spread;
  return {.left = left, .squares = yy - y * y / n - left * left * spread};
}

SlowEnd best_course(std::span<const Block> all, double longest) {
  constexpr int tried = 40;
  SlowEnd best{.start = all.front().time, .left = 0.0, .lag = longest};
  double fewest = std::numeric_limits<double>::infinity();
  for (int k = 0; k < tried; ++k) {
    const double lag = longest * std::pow(0.01, k / (tried - 1.0));
    const Line line = fitted(all, lag);
    if (line.squares < fewest) fewest = line.squares, best.lag = lag, best.left = line.left;
  }
  return best;
}

}  // namespace

double SlowEnd::remaining(double from, double to) const {
  if (left == 0.0 || lag <= 0.0 || to <= from) return 0.0;
  const double share = std::exp(-(from - start) / lag) - std::exp(-(to - start) / lag);
  return left * share * lag / (to - from);
}

SlowEnd slow_end_of(std::span<const double> times, std::span<const double> values) {
  if (values.size() < 2) return {};
  const double span = times.back() - times.front();
  const SlowEnd unseen{.start = times.front(), .left = 0.0, .lag = span / 6.0};
  const std::vector<Block> all = blocks(times, values);
  if (all.size() < fewest_blocks) return unseen;
  const End end = end_of(all);
  const double swing = all.front().level - end.level;
  if (!(std::abs(swing) > 10.0 * end.scatter) || swing == 0.0) return unseen;
  std::size_t start = 0;
  for (std::size_t i = 0; i < all.size(); ++i) {
    if ((all[i].level - end.level) / swing > std::exp(-1.0)) start = i;
  }
  if (all.size() - start < fewest_blocks) return {.start = times.front(), .left = 0.0, .lag = span};
  return best_course(std::span(all).subspan(start), span);
}

}  // namespace libloop
