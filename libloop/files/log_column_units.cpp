#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "libloop/base/text.hpp"
#include "libloop/files/log_columns.hpp"
#include "libloop/files/log_units.hpp"
#include "libloop/files/tolerant_unit.hpp"

namespace libloop::files {

// The unit that the caller gives a column; of a machine's speed, whichever of the two is given.
std::optional<std::string> ColumnFinder::chosen_unit(const Named& column) const {
  std::vector<Channel> asked{column.meaning.channel};
  if (column.meaning.kind == Meaning::Kind::speed) {
    asked.push_back(share_of(column.meaning.channel));
  }
  for (const Channel channel : asked) {
    const auto found = choice_.units.find(channel);
    if (found != choice_.units.end()) return found->second;
  }
  return std::nullopt;
}

// "rpm" or "%", by the size of the numbers where they leave no doubt.
std::string ColumnFinder::machine_unit(const Named& column, const std::vector<TolerantRow>& rows,
                                       char decimal, std::string& why) const {
  const double most = greatest(rows, column.cell, decimal);
  const bool fixed = column.meaning.kind == Meaning::Kind::channel;
  const bool is_share = fixed && column.meaning.channel == share_of(column.meaning.channel);
  if (fixed && !is_share) {
    why = "it has no unit, and is taken to be in rpm";
    return "rpm";
  }
  if (most > least_rpm && !is_share) {
    why = fmt::format("it has no unit; numbers up to {} are rpm", text::number(most));
    return "rpm";
  }
  if (most > greatest_share && most <= 100.0) {
    why = fmt::format("it has no unit; numbers up to {} are per cent", text::number(most));
    return "%";
  }
  const Channel speed = column.meaning.channel;
  throw InputError(problem(
      Code::unit, column.cell,
      fmt::format("{} has no unit, and its numbers (up to {}) do not tell whether they are rpm or "
                  "per cent",
                  quoted_cell(column.heading), text::number(most)),
      is_share ? fmt::format("Say it: --unit {0}=% or --unit {0}=1.", declared(speed).name)
               : fmt::format("Say it: --unit {}=rpm or --unit {}=%.", declared(speed).name,
                             declared(share_of(speed)).name)));
}

// A unit that cannot be read is no unit that is left out: the numbers may be anything.
void ColumnFinder::fail_unread(const Named& column) const {
  const DeclaredChannel& channel = declared(column.meaning.channel);
  std::string hint = near_unit(column.unread);
  if (!hint.empty()) hint += ' ';
  const bool speed = column.meaning.kind == Meaning::Kind::speed;
  hint += speed ? fmt::format("Say it: --unit {}=rpm or --unit {}=%.", channel.name,
                              declared(share_of(column.meaning.channel)).name)
                : fmt::format("Say it, for example --unit {}={}.", channel.name, channel.unit);
  throw InputError(problem(Code::unit, column.cell,
                           fmt::format("the unit {} of {} cannot be read",
                                       quoted_cell(column.unread), quoted_cell(column.heading)),
                           std::move(hint)));
}

std::string ColumnFinder::unit_of(const Named& column, const std::vector<TolerantRow>& rows,
                                  char decimal, std::string& why) const {
  if (std::optional<std::string> chosen = chosen_unit(column)) {
    why = column.unit.empty() || column.unit == *chosen
              ? "as the option says"
              : fmt::format("as the option says, though the file says {}", column.unit);
    return *chosen;
  }
  if (!column.unit.empty()) return column.unit;
  if (!column.unread.empty()) fail_unread(column);
  const std::string in_cells = unit_in_cells(rows, column.cell, decimal);
  if (!in_cells.empty()) {
    why = "as its cells say";
    return in_cells;
  }
  if (is_machine(column.meaning.channel)) return machine_unit(column, rows, decimal, why);
  const DeclaredChannel& channel = declared(column.meaning.channel);
  if (column.meaning.channel == Channel::flow) {
    throw InputError(problem(Code::unit, column.cell,
                             fmt::format("{} has no unit", quoted_cell(column.heading)),
                             "Say it: --unit flow=L/min or --unit flow=L/h."));
  }
  why = fmt::format("it has no unit, and is taken to be in {}", channel.unit);
  return std::string(channel.unit);
}

ValueColumn ColumnFinder::settled(const Named& column, const std::vector<TolerantRow>& rows,
                                  char decimal, std::vector<std::string>& decisions) const {
  std::string why;
  const std::string name = unit_of(column, rows, decimal, why);
  ValueColumn out{column.cell, column.meaning.channel, column.heading, name, {}};
  try {
    // A caller may write a unit as people do.
    const std::string known = known_unit(name);
    out.unit = parse_unit(known.empty() ? name : known);
  } catch (const InputError& error) {
    const Problem& first = error.problems().front();
    throw InputError(problem(first.code, column.cell, first.message, first.suggestion));
  }
  if (column.meaning.kind == Meaning::Kind::speed &&
      out.unit.dimension == parse_unit("%").dimension) {
    out.channel = share_of(out.channel);
  }
  const DeclaredChannel& channel = declared(out.channel);
  if (!stands_for(out.unit.dimension, parse_unit(channel.unit).dimension)) {
    throw InputError(problem(Code::dimension, column.cell,
                             fmt::format("{} is in {}, which is no unit of {}",
                                         quoted_cell(column.heading), name, channel.name),
                             fmt::format("{} is given in {} or the like: --unit {}={}.",
                                         channel.name, channel.unit, channel.name, channel.unit)));
  }
  decisions.push_back(fmt::format("Column {} is {}, in {}{}.", quoted_cell(column.heading),
                                  channel.name, name, why.empty() ? "" : ": " + why));
  return out;
}

// Of two columns for a channel one must be meant: the one called by the channel's own word, or
// the one the caller names.
void ColumnFinder::keep_one_each(std::vector<ValueColumn>& columns,
                                 std::vector<Problem>& problems) const {
  for (std::size_t i = 0; i < columns.size(); ++i) {
    for (std::size_t j = i + 1; j < columns.size(); ++j) {
      if (columns[i].channel != columns[j].channel) continue;
      const Named &a = named_[columns[i].cell], &b = named_[columns[j].cell];
      if (a.meaning.exact != b.meaning.exact) {
        columns.erase(columns.begin() + static_cast<std::ptrdiff_t>(a.meaning.exact ? j : i));
        j = i;
        continue;
      }
      const std::string_view channel = declared(columns[i].channel).name;
      const bool alike = a.heading == b.heading;
      problems.push_back(
          problem(Code::conflict, b.cell,
                  fmt::format("{} and {} may both be {}", quoted_cell(a.heading),
                              quoted_cell(b.heading), channel),
                  fmt::format("Say which: --column {0}=\"{1}\" or --column {0}=\"{2}\".", channel,
                              alike ? fmt::format("#{}", a.cell + 1) : a.heading,
                              alike ? fmt::format("#{}", b.cell + 1) : b.heading)));
      break;
    }
  }
}

void ColumnFinder::require_channels() const {
  std::string hint;
  std::vector<std::string> known;
  for (const Named& one : named_) {
    if (one.meaning.is_value()) return;
    if (one.meaning.is_time() || one.heading.empty()) continue;
    known.push_back(shown_cell(one.heading));
    if (hint.empty()) hint = text::did_you_mean(one.name, usual_headings());
  }
  if (named_.empty()) {
    throw InputError(problem(Code::missing, 0, "the file has no heading that names its columns",
                             "Name them by number: --column time=#1 --column chip=#2."));
  }
  if (known.empty()) {
    throw InputError(problem(Code::missing, 0, "no column but the time", "Nothing is measured."));
  }
  throw InputError(problem(Code::unknown, 0,
                           fmt::format("no column is known: {}", text::cut(text::list(known), 300)),
                           fmt::format("{}{}Name them: --column chip=\"{}\".", hint,
                                       hint.empty() ? "" : " ", known.front())));
}

std::vector<ValueColumn> ColumnFinder::settle(const std::vector<TolerantRow>& rows, char decimal,
                                              const std::vector<std::size_t>& times,
                                              std::vector<std::string>& decisions) const {
  std::vector<ValueColumn> columns;
  std::vector<std::string> unused, told;
  const auto is_time = [&](const Named& one) {
    return std::find(times.begin(), times.end(), one.cell) != times.end();
  };
  std::vector<Problem> problems;
  for (const Named& one : named_) {
    if (one.meaning.is_value()) {
      try {
        columns.push_back(settled(one, rows, decimal, told));
      } catch (const InputError& error) {
        problems.insert(problems.end(), error.problems().begin(), error.problems().end());
      }
    } else if (!is_time(one) && !one.heading.empty()) {
      unused.push_back(quoted_cell(one.heading));
    }
  }
  const std::vector<ValueColumn> all = columns;
  keep_one_each(columns, problems);
  if (!problems.empty()) throw InputError(std::move(problems));
  for (std::size_t i = 0; i < all.size(); ++i) {
    const bool kept = std::any_of(columns.begin(), columns.end(),
                                  [&](const ValueColumn& c) { return c.cell == all[i].cell; });
    if (kept) {
      decisions.push_back(told[i]);
    } else {
      unused.push_back(quoted_cell(all[i].heading));
    }
  }
  if (unused.size() > 20) unused.resize(20, "...");
  if (!unused.empty()) {
    decisions.push_back(fmt::format("Columns not used: {}.", text::list(unused)));
  }
  return columns;
}

}  // namespace libloop::files
