// Rows of a log, kept in bounded memory.
#pragma once

#include <vector>

#include "libloop/evidence/log.hpp"

namespace libloop::files {

// Keeps at most `most` rows: beyond, neighbours become one row of their means, again and again.
class LogStore {
 public:
  LogStore(Log& log, std::size_t most);

  // `values`: one a series, no_reading where there is none. Times must rise.
  void add(double time, const std::vector<double>& values);
  // What waits for its neighbours becomes a row. Call once, at the end.
  void finish();

 private:
  void halve();
  void push_group();

  Log& log_;
  std::size_t most_;
  // The group that is being gathered.
  int rows_ = 0;
  double time_ = 0.0;
  std::vector<double> sums_;
  std::vector<int> counts_;
};

}  // namespace libloop::files
