#include "libloop/files/log_columns.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "libloop/base/text.hpp"
#include "libloop/files/log_roles.hpp"
#include "libloop/files/tolerant_number.hpp"
#include "libloop/files/tolerant_unit.hpp"

namespace libloop::files {
ColumnFinder::ColumnFinder(std::string file, const Layout& layout, const LogChoice& choice)
    : file_(std::move(file)), layout_(layout), choice_(choice) {
  name_columns();
  take_choices();
}

Problem ColumnFinder::problem(Code code, std::size_t cell, std::string message,
                              std::string suggestion) const {
  Place place{file_, 0, 0, 1, {}};
  if (cell < layout_.heading.cells.size()) {
    const TolerantCell& at = layout_.heading.cells[cell];
    place = place_in(file_, layout_.heading.written, at.line, at.column, at.text);
  }
  return {code, std::move(message), std::move(suggestion), std::move(place)};
}

void ColumnFinder::name_columns() {
  for (std::size_t i = 0; i < layout_.heading.cells.size(); ++i) {
    const std::string& heading = layout_.heading.cells[i].text;
    NamedUnit named = heading_unit(heading);
    const std::string below = known_unit(layout_.units.text(i));
    if (named.unit.empty()) named.unit = below;
    if (named.unit.empty() && named.unread.empty() && !says_nothing(layout_.units.text(i))) {
      named.unread = layout_.units.text(i);
    }
    const Meaning meaning = meaning_of_heading(heading, named);
    if (meaning.is_time()) {
      times_.push_back({i, fmt::format("{} {}", heading, layout_.units.text(i)), named.unit});
    }
    named_.push_back({i, heading, named.name, named.unit, meaning, false,
                      named.unit.empty() ? named.unread : std::string()});
  }
  // Beside an outlet, an inlet is the coolant's as likely as the air's.
  const auto is_outlet = [](const Named& one) {
    const std::uint32_t roles = roles_of(words_of(one.name));
    return (roles & role::out) && !(roles & role::air);
  };
  if (std::none_of(named_.begin(), named_.end(), is_outlet)) return;
  for (Named& one : named_) {
    const std::uint32_t roles = roles_of(words_of(one.name));
    const bool inlet = (roles & role::in) && !(roles & (role::air | role::ambient));
    if (inlet && one.meaning.channel == Channel::ambient) one.meaning = {};
  }
}

// The column that a caller names: as the file does, without its unit, or "#3".
std::size_t ColumnFinder::chosen_cell(const std::string& wanted, const std::string& what) const {
  if (wanted.size() > 1 && wanted[0] == '#') {
    const std::optional<double> number = text::parse_number(wanted.substr(1));
    if (number && *number >= 1 && *number <= 10000 && *number == std::floor(*number)) {
      return static_cast<std::size_t>(*number) - 1;
    }
  }
  std::vector<std::size_t> found;
  for (const auto match : {+[](const Named&n, const std::string&w) { return n.heading == w; },
                           +[](const Named&n, const std::string&w) {
                             return folded(n.heading) == folded(w) || folded(n.name) == folded(w);
                           }}) {
    for (const Named& one : named_) {
      if (found.empty() || found.back() != one.cell) {
        if (match(one, wanted)) found.push_back(one.cell);
      }
    }
    if (!found.empty()) break;
  }
  if (found.size() == 1) return found[0];
  if (found.size() > 1) {
    throw InputError(problem(
        Code::conflict, found[1], fmt::format("two columns are called {}", quoted_cell(wanted)),
        fmt::format("Name it by its number: --column {}=\"#{}\".", what, found[1] + 1)));
  }
  std::vector<std::string> known;
  for (const Named& one : named_) known.push_back(one.heading);
  std::string hint = text::did_you_mean(wanted, known);
  if (hint.empty()) hint = fmt::format("The headings are {}.", text::list(known));
  throw InputError(
      problem(Code::unknown, 0,
              fmt::format("no column is called {}, which was to be {}", quoted_cell(wanted), what),
              std::move(hint)));
}

void ColumnFinder::take_choices() {
  std::map<std::size_t, std::string> taken;
  const auto take = [&](const std::string& wanted, const std::string& what) {
    const std::size_t cell = chosen_cell(wanted, what);
    if (!taken.emplace(cell, what).second) {
      throw InputError(problem(
          Code::conflict, cell,
          fmt::format("column {} was to be both {} and {}", quoted_cell(wanted), taken[cell], what),
          "Give each its own column."));
    }
    // Without a heading, or beyond it, a column is known by its number alone.
    while (named_.size() <= cell) {
      named_.push_back({named_.size(), fmt::format("#{}", named_.size() + 1), "", "", {}, false});
    }
    return cell;
  };
  for (const auto& [channel, wanted] : choice_.columns) {
    const std::size_t cell = take(wanted, std::string(declared(channel).name));
    for (Named& other : named_) {
      if (other.meaning.is_value() && other.meaning.channel == channel) other.meaning = {};
    }
    Named& column = named_[cell];
    if (column.meaning.is_time()) {
      times_.erase(std::remove_if(times_.begin(), times_.end(),
                                  [&](const TimeColumn& t) { return t.cell == cell; }),
                   times_.end());
    }
    column.meaning = {Meaning::Kind::channel, channel, true};
    column.chosen = true;
  }
  if (choice_.time_column.empty()) return;
  const std::size_t cell = take(choice_.time_column, "time");
  time_chosen_ = true;
  named_[cell].meaning = {Meaning::Kind::time, {}, true};
  // A date beside it still counts.
  std::vector<TimeColumn> kept{{cell, named_[cell].heading, named_[cell].unit}};
  for (const TimeColumn& one : times_) {
    if (one.cell == cell) {
      kept[0] = one;
    } else if (named_[one.cell].meaning.kind == Meaning::Kind::date) {
      kept.push_back(one);
    }
  }
  times_ = std::move(kept);
}

void ColumnFinder::require_chosen(const std::vector<TolerantRow>& rows) const {
  std::size_t width = layout_.heading.cells.size();
  for (const TolerantRow& row : rows) width = std::max(width, row.cells.size());
  if (named_.size() <= width) return;
  // Choices alone make more columns than there are, and the last of them is one.
  const Named& last = named_.back();
  const std::string what = last.meaning.is_time()
                               ? std::string("time")
                               : std::string(declared(last.meaning.channel).name);
  std::vector<std::string> known;
  for (const TolerantCell& cell : layout_.heading.cells) known.push_back(shown_cell(cell.text));
  throw InputError(problem(
      Code::unknown, 0,
      fmt::format("there is no column #{}, which was to be {}: the file has {}", last.cell + 1,
                  what, width),
      known.empty() ? "" : fmt::format("The headings are {}.", text::cut(text::list(known), 300))));
}

std::vector<std::size_t> ColumnFinder::used_cells() const {
  std::vector<std::size_t> cells;
  for (const Named& one : named_) {
    if (one.meaning.is_value()) cells.push_back(one.cell);
  }
  for (const TimeColumn& one : times_) cells.push_back(one.cell);
  return cells;
}

std::vector<TimeColumn> ColumnFinder::unnamed() const {
  std::vector<TimeColumn> out;
  for (const Named& one : named_) {
    if (!one.meaning.is_value() && !one.meaning.is_time()) {
      out.push_back({one.cell, one.heading, one.unit});
    }
  }
  return out;
}

}  // namespace libloop::files
