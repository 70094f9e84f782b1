#include <fmt/format.h>

#include "libloop/base/text.hpp"
#include "libloop/files/log_rows.hpp"

namespace libloop::files {
namespace {

constexpr double long_gap = 10.0;  // usual intervals; told: judgement

}  // namespace

void LogRows::tell_gap(std::vector<std::string>& decisions) const {
  if (longest_gap_ <= long_gap * interval_) return;
  decisions.push_back(
      fmt::format("Rows are {} s apart as a rule; the longest gap is {} s, before line {}.",
                  text::number(interval_), text::number(longest_gap_), gap_line_));
}

void LogRows::tell_left_out() {
  log_.left_out.clear();
  const auto rows = [&](const Counted& counted, const std::string& reason) {
    if (counted.count == 0) return;
    log_.left_out.push_back(
        {counted.count, fmt::format("{} (first: line {})", reason, counted.line)});
  };
  rows(no_time_, "rows whose time cannot be read");
  rows(standing_, "rows whose time stands still");
  rows(backward_, "rows whose time runs backwards");
  rows(too_long_, "rows with more cells than the heading");
  rows(empty_, "rows without any reading");
  rows(cut_off_, "rows cut off at the end of the file");
  for (const Column& column : columns_) {
    const DeclaredChannel& channel = declared(column.what.channel);
    if (column.outside.count > 0) {
      rows(column.outside, fmt::format("readings of {} outside {} to {}, as '{}'", channel.name,
                                       text::number(to_unit(channel.min, channel.unit)),
                                       show(channel.max, channel.unit), column.outside.example));
    }
    if (column.unreadable.count > 0) {
      rows(column.unreadable, fmt::format("cells of {} that are no number, as '{}'", channel.name,
                                          column.unreadable.example));
    }
  }
}

void LogRows::tell(const std::vector<std::string>& decisions) {
  clock_.finish();
  log_.decisions = decisions;
  std::vector<std::string>& out = log_.decisions;
  clock_.tell(out);
  if (first_ && !clock_.is_dated()) log_.began.reset();
  if (days_.count > 0) {
    out.push_back(fmt::format("The clock passes midnight {}, first before line {}.",
                              days_.count == 1 ? "once" : fmt::format("{} times", days_.count),
                              days_.line));
  }
  if (headings_.count > 0) {
    out.push_back(fmt::format(
        "The heading stands again in line {}{}: the logger was started anew.", headings_.line,
        headings_.count > 1 ? fmt::format(" and {} times more", headings_.count - 1)
                            : std::string()));
  }
  if (restarts_.count > 0) {
    out.push_back(fmt::format(
        "The time begins anew in line {}{}; how long the pause was is not known: the rows go on "
        "after one interval.",
        restarts_.line,
        restarts_.count > 1 ? fmt::format(" and {} times more", restarts_.count - 1)
                            : std::string()));
  }
  tell_gap(out);
  if (log_.merged > 1) {
    out.push_back(
        fmt::format("The log is long: each row kept is the mean of {} rows.", log_.merged));
  }
  tell_left_out();
  for (std::size_t i = 0; i < columns_.size(); ++i) {
    log_.series[i].step = columns_[i].step.step() * columns_[i].what.unit.factor;
  }
}

}  // namespace libloop::files
