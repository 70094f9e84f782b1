#include "libloop/math/sampling.hpp"

#include <algorithm>
#include <boost/math/special_functions/erf.hpp>
#include <cmath>
#include <cstdint>
#include <numeric>

namespace libloop {
namespace {

// SplitMix64 (Steele, Lea & Flood 2014): small, and the same on every machine.
class Random {
 public:
  explicit Random(std::uint64_t seed) : state_(seed) {}
  std::uint64_t next() {
    state_ += 0x9E3779B97F4A7C15u;
    std::uint64_t z = state_;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
  }
  double uniform() { return (static_cast<double>(next() >> 11) + 0.5) * 0x1.0p-53; }

 private:
  std::uint64_t state_;
};

// FNV-1a.
std::uint64_t hash(std::string_view text) {
  std::uint64_t h = 0xCBF29CE484222325u;
  for (const char c : text) h = (h ^ static_cast<unsigned char>(c)) * 0x100000001B3u;
  return h;
}

}  // namespace

double normal_quantile(double p) { return -1.4142135623730951 * boost::math::erfc_inv(2.0 * p); }

std::vector<double> latin_column(std::string_view name, unsigned long long seed, int size) {
  Random random(hash(name) ^ (seed * 0x9E3779B97F4A7C15u));
  std::vector<int> slice(static_cast<std::size_t>(size));
  std::iota(slice.begin(), slice.end(), 0);
  for (std::size_t i = slice.size(); i > 1; --i) std::swap(slice[i - 1], slice[random.next() % i]);
  std::vector<double> column;
  for (const int s : slice) column.push_back(normal_quantile((s + random.uniform()) / size));
  return column;
}

double sample_quantile(const std::vector<double>& sorted, double p) {
  const double place = p * static_cast<double>(sorted.size() - 1);
  const auto below = static_cast<std::size_t>(place);
  const std::size_t above = std::min(below + 1, sorted.size() - 1);
  const double part = place - static_cast<double>(below);
  return sorted[below] + part * (sorted[above] - sorted[below]);
}

}  // namespace libloop
