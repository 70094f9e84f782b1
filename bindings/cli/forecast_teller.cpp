#include "bindings/cli/forecast_teller.hpp"

#include <fmt/format.h>

#include <cstdio>

#include "bindings/cli/terminal.hpp"
#include "libloop/base/text.hpp"

namespace libloop::cli {
namespace {

std::string clock(double seconds) {
  const auto whole = static_cast<long long>(seconds);
  return fmt::format("{:>3}:{:02}", whole / 60, whole % 60);
}

}  // namespace

StatusLine::StatusLine() : shown_(watched()) {}

StatusLine::~StatusLine() { clear(); }

void StatusLine::show(const std::string& words) {
  if (!shown_) return;
  constexpr std::size_t page = 79;  // a longer one would wrap, and stay
  const std::string line(text::cut(words, page));
  clear();
  std::fprintf(stderr, "%s", line.c_str());
  std::fflush(stderr);
  width_ = text::width(line);
}

void StatusLine::clear() {
  if (width_ == 0) return;
  std::fprintf(stderr, "\r%*s\r", static_cast<int>(width_), "");
  std::fflush(stderr);
  width_ = 0;
}

void ForecastTeller::tell(const report::ToldForecast& told) {
  const Verdict verdict = told.forecast.verdict;
  const bool changed = !told_ || last_ != verdict;
  const std::string line =
      fmt::format("{}  {}", clock(told.elapsed), report::verdict_line(told.forecast));
  std::string data;
  if (form_ == Form::json) {
    data = report::json_line(told);
  } else if (form_ == Form::csv) {
    data = (told_ ? "" : report::forecast_csv_head()) + report::forecast_csv_row(told);
  } else if (changed || told.cautions.size() > cautions_) {
    data = line + '\n' + report::cautions(told);
  }
  if (!data.empty()) {
    status_.clear();
    form_ == Form::text ? print_text(data) : print(data);
  }
  status_.show(line);
  if (bell_ && changed && verdict == Verdict::stop) std::fputs("\a", stderr);
  last_ = verdict;
  cautions_ = told.cautions.size();
  told_ = true;
}

}  // namespace libloop::cli
