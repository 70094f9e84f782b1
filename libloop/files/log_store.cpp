#include "libloop/files/log_store.hpp"

#include <algorithm>

namespace libloop::files {
namespace {

double mean(double a, double b) {
  if (!is_reading(a)) return b;
  return is_reading(b) ? 0.5 * (a + b) : a;
}

}  // namespace

LogStore::LogStore(Log& log, std::size_t most) : log_(log), most_(std::max<std::size_t>(most, 2)) {}

void LogStore::add(double time, const std::vector<double>& values) {
  sums_.resize(values.size(), 0.0);
  counts_.resize(values.size(), 0);
  time_ += time;
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (!is_reading(values[i])) continue;
    sums_[i] += values[i];
    ++counts_[i];
  }
  if (++rows_ == log_.merged) push_group();
}

void LogStore::push_group() {
  if (log_.time.size() == most_) halve();
  // Once halved, a group has twice as many rows: this one waits for the rest.
  if (rows_ < log_.merged) return;
  log_.time.push_back(time_ / rows_);
  for (std::size_t i = 0; i < sums_.size(); ++i) {
    log_.series[i].values.push_back(counts_[i] > 0 ? sums_[i] / counts_[i] : no_reading);
    sums_[i] = 0.0;
    counts_[i] = 0;
  }
  time_ = 0.0;
  rows_ = 0;
}

void LogStore::finish() {
  if (rows_ == 0) return;
  const int merged = log_.merged;
  if (log_.time.size() == most_) halve();
  const int wanted = log_.merged;
  log_.merged = rows_;  // a last group of fewer rows
  push_group();
  log_.merged = std::max(merged, wanted);
}

void LogStore::halve() {
  const std::size_t size = log_.time.size(), half = size / 2;
  for (std::size_t i = 0; i < half; ++i) {
    log_.time[i] = 0.5 * (log_.time[2 * i] + log_.time[2 * i + 1]);
  }
  for (Series& series : log_.series) {
    for (std::size_t i = 0; i < half; ++i) {
      series.values[i] = mean(series.values[2 * i], series.values[2 * i + 1]);
    }
  }
  // An odd last row goes into the group that is being gathered, ahead of it.
  if (size % 2 == 1) {
    const int weight = log_.merged;
    time_ += weight * log_.time.back();
    rows_ += weight;
    for (std::size_t i = 0; i < log_.series.size(); ++i) {
      const double value = log_.series[i].values.back();
      if (!is_reading(value)) continue;
      sums_[i] += weight * value;
      counts_[i] += weight;
    }
  }
  log_.time.resize(half);
  for (Series& series : log_.series) series.values.resize(half);
  log_.merged *= 2;
}

}  // namespace libloop::files
