#include "libloop/evidence/groups.hpp"

#include <algorithm>
#include <cmath>

namespace libloop::evidence {
namespace {

constexpr int most_mounts = 99;

double square(double x) { return x * x; }

// Without what the states of the bench give. More mountings repeat the points too.
double own_square(const Standing& one, int mounts) {
  const bool more = mounts > one.mounts && !one.predicted;
  const double share = more ? static_cast<double>(one.mounts) / mounts : 1.0;
  const Doubts& d = one.doubts;
  return share * (square(d.points) + square(d.mount)) + square(d.reading) + square(d.level);
}

double state_of(const Doubts& doubts, std::size_t state) {
  return state < doubts.states.size() ? doubts.states[state] : 0.0;
}

}  // namespace

double Doubts::own() const {
  double sum = square(points) + square(mount) + square(reading) + square(level);
  for (const double one : states) sum += square(one);
  return std::sqrt(sum);
}

double difference_doubt(const Standing& a, const Standing& b, int mounts) {
  double sum = own_square(a, mounts) + own_square(b, mounts);
  const std::size_t states = std::max(a.doubts.states.size(), b.doubts.states.size());
  for (std::size_t i = 0; i < states; ++i) {
    sum += square(state_of(a.doubts, i) - state_of(b.doubts, i));
  }
  // Only two that were measured share the bench's meters.
  if (a.predicted != b.predicted) sum += square(a.doubts.bench) + square(b.doubts.bench);
  return std::sqrt(sum);
}

bool told_apart(const Standing& better, const Standing& worse, double apart) {
  if (better.at_least || worse.at_most) return false;  // they may be closer, or the other way round
  const double difference = worse.value - better.value;
  return difference > 0.0 && difference >= apart * difference_doubt(better, worse);
}

std::vector<int> groups(std::span<const Standing> ranked, double apart) {
  std::vector<int> out;
  std::size_t best = 0;
  for (std::size_t i = 0; i < ranked.size(); ++i) {
    if (i > 0 && told_apart(ranked[best], ranked[i], apart)) best = i;
    out.push_back(best == i ? (out.empty() ? 1 : out.back() + 1) : out.back());
  }
  return out;
}

std::vector<Alike> alike(std::span<const Standing> ranked, double apart) {
  std::vector<Alike> out;
  std::size_t reached = 0;  // rows before it are in a run already
  for (std::size_t first = 0; first < ranked.size(); ++first) {
    std::size_t end = first + 1;
    const auto fits = [&](std::size_t next) {
      for (std::size_t i = first; i < next; ++i) {
        if (told_apart(ranked[i], ranked[next], apart)) return false;
      }
      return true;
    };
    while (end < ranked.size() && fits(end)) ++end;
    if (end - first > 1 && end > reached) out.push_back({first, end - 1});
    reached = std::max(reached, end);
  }
  return out;
}

std::vector<std::size_t> like(std::span<const Standing> ranked, std::size_t row, double apart) {
  std::vector<std::size_t> out;
  for (std::size_t i = 0; i < ranked.size(); ++i) {
    if (i == row) continue;
    const Standing &better = ranked[std::min(i, row)], &worse = ranked[std::max(i, row)];
    if (!told_apart(better, worse, apart)) out.push_back(i);
  }
  return out;
}

std::optional<int> mounts_needed(const Standing& better, const Standing& worse, double apart) {
  if (better.at_least || worse.at_most || better.at_most || worse.at_least) return std::nullopt;
  const double difference = worse.value - better.value;
  for (int n = 1 + std::min(better.mounts, worse.mounts); n <= most_mounts; ++n) {
    if (difference > 0.0 && difference >= apart * difference_doubt(better, worse, n)) return n;
  }
  return std::nullopt;
}

}  // namespace libloop::evidence
