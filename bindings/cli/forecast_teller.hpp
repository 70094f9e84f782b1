// Tells one look at a growing log after the other.
#pragma once

#include <cstddef>
#include <string>

#include "libloop/report/forecast.hpp"

namespace libloop::cli {

// The line on a terminal that each look rewrites; silent when nobody watches.
class StatusLine {
 public:
  StatusLine();
  ~StatusLine();
  StatusLine(const StatusLine&) = delete;
  StatusLine& operator=(const StatusLine&) = delete;

  void show(const std::string& words);
  void clear();

 private:
  bool shown_;
  std::size_t width_ = 0;
};

// Text: a line at each change of the verdict, with the cautions below, and when one joins them.
// JSON: an object in one line each time. CSV: a row each time, below one head. `bell` rings when
// the verdict becomes stop.
class ForecastTeller {
 public:
  enum class Form { text, json, csv };
  ForecastTeller(Form form, bool bell) : form_(form), bell_(bell) {}

  void tell(const report::ToldForecast& told);
  bool stopped() const { return told_ && last_ == Verdict::stop; }

 private:
  Form form_;
  bool bell_;
  StatusLine status_;
  bool told_ = false;
  Verdict last_ = Verdict::cannot_tell;
  std::size_t cautions_ = 0;  // of the last look
};

}  // namespace libloop::cli
