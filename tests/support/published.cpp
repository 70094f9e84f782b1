#include "support/published.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <string>
#include <vector>

namespace libloop::testing {
namespace {

std::vector<std::string>& rows() {
  static std::vector<std::string> all;
  return all;
}

}  // namespace

void published(std::string_view check, std::string_view source, double expected, double got,
               double relative) {
  const double allowed = expected == 0.0 ? relative : relative * std::abs(expected);
  CAPTURE(check);
  CAPTURE(source);
  CAPTURE(expected);
  CAPTURE(got);
  CHECK(std::abs(got - expected) <= allowed);
  rows().push_back(
      fmt::format("{}\t{}\t{:.6g}\t{:.5g}\t{:.2g}", check, source, expected, got, relative));
}

void published_range(std::string_view check, std::string_view source, double low, double high,
                     double got) {
  CAPTURE(check);
  CAPTURE(source);
  CAPTURE(low);
  CAPTURE(high);
  CAPTURE(got);
  CHECK(got >= low);
  CHECK(got <= high);
  rows().push_back(
      fmt::format("{}\t{}\t{:.6g} to {:.6g}\t{:.5g}\trange", check, source, low, high, got));
}

void published_overlap(std::string_view check, std::string_view source, double low, double high,
                       double p05, double p50, double p95, double widest) {
  const double half = 0.5 * (p95 - p05) / p50;
  CAPTURE(check);
  CAPTURE(source);
  CAPTURE(p05);
  CAPTURE(p95);
  CAPTURE(half);
  CHECK(p95 >= low);
  CHECK(p05 <= high);
  if (widest > 0.0) CHECK(half <= widest);
  rows().push_back(
      fmt::format("{}\t{}\t{:.6g} to {:.6g}\t{:.3g} / {:.3g} / {:.3g}\toverlap, half "
                  "width {:.0f} %{}",
                  check, source, low, high, p05, p50, p95, 100 * half,
                  widest > 0.0 ? fmt::format(" of {:.0f}", 100 * widest) : ""));
}

void write_validation(const char* path) {
  std::vector<std::string> sorted = rows();
  std::sort(sorted.begin(), sorted.end());
  sorted.erase(std::unique(sorted.begin(), sorted.end()), sorted.end());
  std::FILE* file = std::fopen(path, "w");
  if (file == nullptr) return;
  std::fputs("check\tsource\texpected\tgot\ttolerance\n", file);
  for (const std::string& row : sorted) fmt::print(file, "{}\n", row);
  std::fclose(file);
}

}  // namespace libloop::testing
