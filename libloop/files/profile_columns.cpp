#include "libloop/files/profile_columns.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <string_view>
#include <utility>

#include "libloop/base/text.hpp"
#include "libloop/files/problems.hpp"
#include "libloop/model/paths.hpp"
#include "libloop/model/rated_speed.hpp"
#include "libloop/part/catalogue.hpp"
#include "libloop/quantity/unit.hpp"
#include "libloop/warmup/profile.hpp"

namespace libloop::files {
namespace {

constexpr std::size_t longest_shown = 40;   // of a cell in a message
constexpr std::size_t most_columns = 1000;  // beyond them nothing is looked up

struct Part {
  std::string text;
  Span span;
  bool given = false;
};

// "load [W]": a name, and a unit in brackets.
struct Heading {
  Part name, unit;
};

// A piece of a cell; of a cell whose text is not what is written, the whole cell stands for it.
Part part_of(const Source& source, const CsvCell& cell, std::string_view piece) {
  const bool as_written = source.text().compare(cell.span.offset, cell.span.length, cell.text) == 0;
  Part part{std::string(piece), cell.span, !piece.empty()};
  if (as_written && !piece.empty()) {
    part.span = {cell.span.offset + static_cast<std::size_t>(piece.data() - cell.text.data()),
                 piece.size()};
  }
  return part;
}

Heading heading_of(const Source& source, const CsvCell& cell) {
  const std::string_view all = text::trim(cell.text);
  const std::size_t open = all.rfind('[');
  if (all.empty() || all.back() != ']' || open == std::string_view::npos) {
    return {part_of(source, cell, all), {}};
  }
  return {part_of(source, cell, text::trim(all.substr(0, open))),
          part_of(source, cell, text::trim(all.substr(open + 1, all.size() - open - 2)))};
}

class Columns {
 public:
  Columns(const Source& source, const Model& model, std::vector<Problem>& problems,
          std::vector<std::string>& notes)
      : source_(source), model_(model), problems_(problems), notes_(notes) {}

  std::vector<ProfileColumn> read(const CsvRow& header) {
    if (header.size() > most_columns) {
      fail(source_, Code::bounds, header[most_columns].span,
           fmt::format("the header has {} columns", header.size()),
           fmt::format("At most {} in one file.", most_columns));
    }
    std::vector<ProfileColumn> columns;
    for (const CsvCell& cell : header) columns.push_back(column(cell, columns.size() + 1));
    if (seen_.count("time") == 0) {
      tell(Code::missing, header.front().span, "the profile has no column for time",
           "Add a column \"time [s]\" or \"time [min]\".");
    } else if (header.size() == 1) {
      tell(Code::missing, header.front().span, "no column but time: nothing is set",
           "Add what moves, as \"load [W]\" or \"fan [%]\".");
    }
    return columns;
  }

 private:
  void tell(Code code, const Span& span, std::string message, std::string suggestion) {
    files::tell(
        {code, std::move(message), std::move(suggestion), source_.at(span.offset, span.length)},
        problems_);
  }

  ProfileColumn column(const CsvCell& cell, std::size_t number) {
    const Heading heading = heading_of(source_, cell);
    if (heading.name.text.empty()) {
      tell(Code::missing, cell.span, fmt::format("column {} has no name", number),
           "A column is called by its quantity and unit, \"load [W]\".");
      return {};
    }
    ProfileColumn column;
    column.called = heading.name.text;
    if (column.called == "time") return timed(column, heading);
    const Quantity* quantity = find(column.called);
    if (quantity == nullptr) {
      tell_unknown(heading);
      return {};
    }
    // A faulty unit must not hide that a column is there twice.
    const bool first = note_first(quantity->name, heading);
    column.min = quantity->row->min;
    column.max = quantity->row->max;
    if (!read_unit(column, heading, *quantity) || !first) return {};
    column.name = quantity->name;
    return column;
  }

  ProfileColumn timed(ProfileColumn column, const Heading& heading) {
    const bool first = note_first("time", heading);
    column.max = longest_profile;
    if (!heading.unit.given) {
      tell(Code::unit, heading.name.span, "time has no unit",
           "Write \"time [s]\" or \"time [min]\".");
      return {};
    }
    const std::optional<Unit> unit = parsed(heading);
    if (!unit) return {};
    if (unit->dimension != parse_unit("s").dimension) {
      tell(Code::dimension, heading.unit.span,
           fmt::format("'{}' is no unit of time", heading.unit.text),
           "Write \"time [s]\" or \"time [min]\".");
      return {};
    }
    if (!first) return {};
    column.name = "time";
    column.unit = heading.unit.text;
    column.factor = unit->factor;
    return column;
  }

  // Whether this is the first column of `name`; tells of a second.
  bool note_first(const std::string& name, const Heading& heading) {
    if (seen_.insert(name).second) return true;
    tell(Code::duplicate, heading.name.span, fmt::format("{} has two columns", name),
         "Keep one of them.");
    return false;
  }

  // ---- names

  // "load" is short for "conditions.load"; null when there is none.
  const Quantity* find(const std::string& called) const {
    const bool is_short = conditions_table().find(called) != nullptr;
    const std::string name = is_short ? "conditions." + called : called;
    const std::vector<Quantity>& all = model_.quantities();
    const auto found =
        std::find_if(all.begin(), all.end(), [&](const Quantity& q) { return q.name == name; });
    return found == all.end() ? nullptr : &*found;
  }

  void tell_unknown(const Heading& heading) {
    if (full(problems_)) return;  // looking for near misses takes time
    const std::string& seen = heading.name.text;
    if (text::parse_number(seen)) {
      tell(Code::missing, heading.name.span, "a number stands where a column is named",
           "The first line, but for comments, names the columns: \"time [s],load [W]\".");
      return;
    }
    if (const Row* row = fixed_row(seen)) {
      tell(Code::kind, heading.name.span, fmt::format("{} cannot move in time", seen),
           row->type == Row::Type::override
               ? "It is not given: write it in the file of its part, then it can."
               : "Only quantities that a law takes as a number can.");
      return;
    }
    std::string hint = text::did_you_mean(seen, known_names());
    if (seen.find_first_of("()[]{}") != std::string::npos) {
      hint = "The unit stands in square brackets behind the name, \"load [W]\".";
    }
    if (hint.empty()) {
      hint = fmt::format("A column is time, one of {}, or any quantity of the cooler and bench.",
                         text::list(conditions_table().names(), "and"));
    }
    tell(Code::unknown, heading.name.span,
         fmt::format("no quantity is called '{}'", text::cut(seen, longest_shown)), hint);
  }

  // A row of the cooler or bench that is no quantity of the model; null when there is none.
  const Row* fixed_row(const std::string& seen) const {
    for (const auto& sheets : {model_.cooler().sheets(), model_.bench().sheets()}) {
      const std::vector<std::string> paths = paths_of(sheets);
      for (std::size_t i = 0; i < sheets.size(); ++i) {
        for (const Row& row : sheets[i]->table().rows) {
          if (seen == paths[i] + "." + row.name) return &row;
        }
      }
    }
    return nullptr;
  }

  std::vector<std::string> known_names() const {
    std::vector<std::string> names = conditions_table().names();
    names.push_back("time");
    for (const Quantity& q : model_.quantities()) names.push_back(q.name);
    return names;
  }

  // ---- units

  std::optional<Unit> parsed(const Heading& heading) {
    try {
      return parse_unit(heading.unit.text);
    } catch (const InputError& error) {
      for (const Problem& problem : error.problems()) {
        tell(problem.code, heading.unit.span, problem.message, problem.suggestion);
      }
      return std::nullopt;
    }
  }

  static bool is_speed(const Quantity& quantity) {
    return quantity.name == "conditions.fan" || quantity.name == "conditions.pump";
  }

  static std::string how_to_write(const std::string& called, const Quantity& quantity) {
    if (is_speed(quantity)) {
      return fmt::format("Write \"{0} [%]\" (of rated speed) or \"{0} [rpm]\".", called);
    }
    return fmt::format("Write \"{} [{}]\".", called, quantity.row->unit);
  }

  // Sets unit, factor and offset; false when the unit is at fault.
  bool read_unit(ProfileColumn& column, const Heading& heading, const Quantity& quantity) {
    const Unit wanted = parse_unit(quantity.row->unit);
    const std::string how = how_to_write(column.called, quantity);
    if (!heading.unit.given && is_speed(quantity)) {
      tell(Code::unit, heading.name.span, fmt::format("{}: per cent or rpm?", column.called), how);
      return false;
    }
    if (!heading.unit.given && wanted.dimension != Dimension{}) {
      tell(Code::unit, heading.name.span, fmt::format("{} has no unit", column.called), how);
      return false;
    }
    column.unit = heading.unit.given ? heading.unit.text : "1";
    const std::optional<Unit> unit = heading.unit.given ? parsed(heading) : Unit{};
    if (!unit) return false;
    if (is_speed(quantity) && unit->dimension == parse_unit("rpm").dimension) {
      return read_speed(column, heading, quantity, *unit);
    }
    if (!stands_for(unit->dimension, wanted.dimension)) {
      tell_dimension(heading, quantity, *unit);
      return false;
    }
    column.factor = unit->factor;
    column.offset = unit->offset;
    return true;
  }

  void tell_dimension(const Heading& heading, const Quantity& quantity, const Unit& unit) {
    const std::string& seen = heading.unit.text;
    tell(Code::dimension, heading.unit.span,
         unit.dimension.point
             ? fmt::format("'{}' is a temperature; {} is none", seen, heading.name.text)
             : fmt::format("'{}' is of another dimension than '{}'", seen, quantity.row->unit),
         how_to_write(heading.name.text, quantity));
  }

  // A column in rpm: a share of the rated speed of all fans, or pumps.
  bool read_speed(ProfileColumn& column, const Heading& heading, const Quantity& quantity,
                  const Unit& unit) {
    const RatedSpeed rated = rated_speed(model_.cooler(), quantity.row->name);
    if (rated.value == 0.0) {
      tell(Code::conflict, heading.name.span,
           fmt::format("{} has no {}", cooler_words(), rated.machines), "Leave the column out.");
      return false;
    }
    if (!rated.alike) {
      tell(Code::conflict, heading.unit.span,
           fmt::format("the {} of {} have unlike rated speeds", rated.machines, cooler_words()),
           fmt::format("Give their speed in per cent of rated speed: \"{} [%]\".", column.called));
      return false;
    }
    if (!rated.given) {
      notes_.push_back(fmt::format(
          "{}: the rated speed of the {} of {} is not given; rpm of column {} count by its typical "
          "{}",
          source_.file(), rated.machines, cooler_words(), column.called, show(rated.value, "rpm")));
    }
    column.factor = unit.factor / rated.value;
    return true;
  }

  std::string cooler_words() const {
    const std::string& title = model_.cooler().title;
    return title.empty() ? "the cooler" : title;
  }

  const Source& source_;
  const Model& model_;
  std::vector<Problem>& problems_;
  std::vector<std::string>& notes_;
  std::set<std::string> seen_;
};

}  // namespace

std::string ProfileColumn::show(double value) const {
  const std::string number = text::number((value - offset) / factor);
  return unit == "1" ? number : fmt::format("{} {}", number, unit);
}

std::vector<ProfileColumn> profile_columns(const Source& source, const CsvRow& header,
                                           const Model& model, std::vector<Problem>& problems,
                                           std::vector<std::string>& notes) {
  return Columns(source, model, problems, notes).read(header);
}

}  // namespace libloop::files
