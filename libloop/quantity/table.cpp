#include "libloop/quantity/table.hpp"

#include <fmt/format.h>

#include <cmath>

#include "libloop/base/error.hpp"
#include "libloop/base/text.hpp"
#include "libloop/quantity/unit.hpp"

namespace libloop {
namespace {

[[noreturn]] void fail(Code code, std::string message, std::string suggestion = {}) {
  throw InputError(Problem{code, std::move(message), std::move(suggestion), {}});
}

std::string limits(const Row& row) {
  return fmt::format("It must lie between {} and {}.", show(row.min, row.unit),
                     show(row.max, row.unit));
}

// What to write instead of a plain number.
std::string how_to_write(const Row& row, long long number) {
  if (row.type == Row::Type::choice) {
    return "Write " + text::list(row.words, "or") + " in quotes.";
  }
  if (row.type == Row::Type::curve) {
    return fmt::format("Write points: [[\"0 {}\", \"20 {}\"], ...].", row.x_unit, row.y_unit);
  }
  if (row.unit == "1") return fmt::format("Write it in quotes, \"{}\".", number);
  return fmt::format("Write it in quotes with its unit, \"{} {}\".", number, row.unit);
}

void check_bounds(const Row& row, double value) {
  if (value >= row.min && value <= row.max) return;
  fail(Code::bounds, fmt::format("{} = {} is out of bounds", row.name, show(value, row.unit)),
       limits(row));
}

// A draw far out must still be possible: a lopsided or wide range runs off its bounds.
void check_draws(const Row& row, const Range& range) {
  constexpr double far_out = 3.5;  // standard deviations
  const Spread spread(range, row.transform, row.min, row.max);
  const double least = spread.at(-far_out), most = spread.at(far_out);
  if (least >= row.min && most <= row.max) return;
  fail(Code::bounds,
       fmt::format("the range of {} is too wide or too lopsided: draws would reach {}", row.name,
                   show(least < row.min ? least : most, row.unit)),
       limits(row) + " Narrow the wide side, or widen the narrow one.");
}

void check_range(const Row& row, const Range& range) {
  check_bounds(row, range.low);
  check_bounds(row, range.typical);
  check_bounds(row, range.high);
  if (range.low < range.typical && range.typical < range.high) {
    if (range.low <= row.min || range.high >= row.max) {
      fail(Code::bounds, fmt::format("the range of {} touches its bound", row.name), limits(row));
    }
    check_draws(row, range);
    return;
  }
  fail(Code::order,
       fmt::format("the range of {} is not in order: low {}, typical {}, high {}", row.name,
                   show(range.low, row.unit), show(range.typical, row.unit),
                   show(range.high, row.unit)),
       "Low, typical and high must rise; write one number where there is no doubt.");
}

[[noreturn]] void fail_at(std::size_t i, const Points& points, const Row& row) {
  const std::string at = fmt::format("point {} of {}", i + 1, row.name);
  const auto& [x, y] = points[i];
  if (y < 0.0) {
    fail(Code::bounds,
         fmt::format("{} has a negative {} ({})", at, row.y_name, show(y, row.y_unit)),
         "A curve ends where the machine no longer delivers, at 0 or above.");
  }
  if (i == 0 && x != 0.0) {
    fail(Code::order,
         fmt::format("{} starts at {} of {}", row.name, row.x_name, show(x, row.x_unit)),
         fmt::format("The first point is at no {}.", row.x_name));
  }
  if (i == 0) {
    fail(Code::bounds, fmt::format("{} starts without {}", row.name, row.y_name),
         fmt::format("The first point is the {} against a closed outlet, above 0.", row.y_name));
  }
  const auto& [x_before, y_before] = points[i - 1];
  if (x <= x_before) {
    fail(Code::order,
         fmt::format("{}: {} does not rise ({} after {})", at, row.x_name, show(x, row.x_unit),
                     show(x_before, row.x_unit)),
         fmt::format("Order the points by {}.", row.x_name));
  }
  fail(Code::order,
       fmt::format("{}, the last: {} does not fall ({} after {})", at, row.y_name,
                   show(y, row.y_unit), show(y_before, row.y_unit)),
       fmt::format("{} may rise in part, but must fall to the last point.", row.y_name));
}

void check_curve(const Row& row, const Points& points) {
  if (points.size() < 3) {
    fail(Code::missing, fmt::format("{} has {} points", row.name, points.size()),
         "A curve needs at least 3 points.");
  }
  if (points.size() > 1000) fail(Code::bounds, fmt::format("{} has over 1000 points", row.name));
  const std::optional<std::size_t> fault = faulty_point(points);
  if (fault) fail_at(*fault, points, row);
}

}  // namespace

std::string_view word(Transform t) {
  switch (t) {
    case Transform::none:
      return "none";
    case Transform::log:
      return "log";
    case Transform::logit:
      return "logit";
  }
  return "none";
}

std::string_view word(Kind k) {
  switch (k) {
    case Kind::geometry:
      return "geometry";
    case Kind::material:
      return "material";
    case Kind::assembly:
      return "assembly";
    case Kind::machine:
      return "machine";
    case Kind::duty:
      return "duty";
    case Kind::correction:
      return "correction";
    case Kind::reading:
      return "reading";
  }
  return "geometry";
}

std::string_view word(Scope s) {
  switch (s) {
    case Scope::bench:
      return "bench";
    case Scope::law:
      return "law";
    case Scope::product:
      return "product";
    case Scope::each:
      return "each";
  }
  return "product";
}

std::optional<std::size_t> faulty_point(const Points& points) {
  for (std::size_t i = 0; i < points.size(); ++i) {
    const auto& [x, y] = points[i];
    const bool starts = i > 0 || (x == 0.0 && y > 0.0);
    const bool goes_on = i == 0 || x > points[i - 1].first;
    const bool falls = i == 0 || i + 1 < points.size() || y < points[i - 1].second;
    if (y < 0.0 || !starts || !goes_on || !falls) return i;
  }
  return std::nullopt;
}

namespace detail {

Row make_row(const Declared& d) {
  Row row;
  row.type = Row::Type::quantity;
  row.name = d.name;
  row.unit = d.unit;
  row.source = d.source;
  row.meaning = d.meaning;
  const auto si = [&](double number) { return from_unit(number, d.unit); };
  row.range = {si(d.low), si(d.typical), si(d.high)};
  row.min = si(d.min);
  row.max = si(d.max);
  row.transform = d.transform;
  row.kind = d.kind;
  row.scope = d.scope;
  return row;
}

Row make_row(const DeclaredOverride& d) {
  Row row;
  row.type = Row::Type::override;
  row.name = d.name;
  row.unit = d.unit;
  row.source = d.rule;
  row.meaning = d.meaning;
  row.min = from_unit(d.min, d.unit);
  row.max = from_unit(d.max, d.unit);
  row.transform = d.transform;
  row.kind = d.kind;
  row.scope = d.scope;
  return row;
}

Row make_row(const DeclaredNominal& d) {
  Row row;
  row.type = Row::Type::nominal;
  row.name = d.name;
  row.unit = d.unit;
  row.meaning = d.meaning;
  const double typical = from_unit(d.typical, d.unit);
  row.range = {typical, typical, typical};
  row.min = from_unit(d.min, d.unit);
  row.max = from_unit(d.max, d.unit);
  return row;
}

Row make_row(const DeclaredCount& d) {
  Row row;
  row.type = Row::Type::count;
  row.name = d.name;
  row.meaning = d.meaning;
  row.number = d.typical;
  row.fewest = d.min;
  row.most = d.max;
  return row;
}

Row make_row(const DeclaredChoice& d) {
  Row row;
  row.type = Row::Type::choice;
  row.name = d.name;
  row.meaning = d.meaning;
  for (const std::string_view w : d.words) row.words.emplace_back(w);
  row.required = d.required;
  return row;
}

Row make_row(const DeclaredCurve& d) {
  Row row;
  row.type = Row::Type::curve;
  row.name = d.name;
  row.meaning = d.meaning;
  row.x_unit = d.x_unit;
  row.y_unit = d.y_unit;
  row.x_name = d.x_name;
  row.y_name = d.y_name;
  return row;
}

}  // namespace detail

const Row* Table::find(std::string_view name) const {
  for (const Row& row : rows) {
    if (row.name == name) return &row;
  }
  return nullptr;
}

std::vector<std::string> Table::names() const {
  std::vector<std::string> all;
  for (const Row& row : rows) all.push_back(row.name);
  return all;
}

Sheet::Sheet(const Table& table, std::string name)
    : table_(&table), name_(std::move(name)), entries_(table.rows.size()) {
  for (std::size_t i = 0; i < entries_.size(); ++i) {
    entries_[i].range = table.rows[i].range;
    entries_[i].number = table.rows[i].number;
  }
}

std::string Sheet::path() const {
  return name_.empty() ? table_->kind : table_->kind + "." + name_;
}

std::size_t Sheet::index(std::string_view row) const {
  const Row* found = table_->find(row);
  if (found == nullptr) {
    std::string hint = text::did_you_mean(row, table_->names());
    if (hint.empty()) hint = "It has: " + text::list(table_->names()) + ".";
    fail(Code::unknown, fmt::format("{} has no '{}'", table_->kind, row), hint);
  }
  return static_cast<std::size_t>(found - table_->rows.data());
}

const Entry& Sheet::entry(std::string_view row) const { return entries_[index(row)]; }

const std::string& Sheet::choice(std::string_view row) const {
  const std::size_t i = index(row);
  return table_->rows[i].words[static_cast<std::size_t>(entries_[i].number)];
}

void Sheet::set(std::string_view name, std::string_view text) {
  const std::size_t i = index(name);
  const Row& row = table_->rows[i];
  switch (row.type) {
    case Row::Type::quantity:
    case Row::Type::override:
    case Row::Type::nominal: {
      const double value = parse_value(text, row.unit);
      check_bounds(row, value);
      entries_[i].range = {value, value, value};
      break;
    }
    case Row::Type::count: {
      const std::optional<double> number = text::parse_number(text::trim(text));
      if (!number || *number != std::floor(*number) || std::abs(*number) > 1e9) {
        fail(Code::kind, fmt::format("{} is a count, but '{}' is no whole number", row.name, text),
             fmt::format("Write a number from {} to {}, without unit.", row.fewest, row.most));
      }
      set_count(name, static_cast<long long>(*number));
      return;
    }
    case Row::Type::choice: {
      for (std::size_t w = 0; w < row.words.size(); ++w) {
        if (row.words[w] == text) {
          entries_[i].number = static_cast<int>(w);
          entries_[i].given = true;
          return;
        }
      }
      std::string hint = text::did_you_mean(text, row.words);
      if (hint.empty()) hint = "It is one of " + text::list(row.words, "or") + ".";
      fail(Code::unknown, fmt::format("{} cannot be '{}'", row.name, text), hint);
    }
    case Row::Type::curve:
      fail(Code::kind, fmt::format("{} is a curve, not one value", row.name),
           fmt::format("Write points: [[\"0 {}\", \"20 {}\"], ...].", row.x_unit, row.y_unit));
  }
  entries_[i].given = true;
}

void Sheet::set(std::string_view name, const Range& range) {
  const std::size_t i = index(name);
  const Row& row = table_->rows[i];
  if (!row.continuous()) {
    fail(Code::kind, fmt::format("{} cannot be a range", row.name), "Give one value.");
  }
  if (range.exact()) {
    check_bounds(row, range.typical);
  } else {
    check_range(row, range);
  }
  entries_[i].range = range;
  entries_[i].given = true;
}

void Sheet::set(std::string_view name, std::string_view low, std::string_view typical,
                std::string_view high) {
  const Row& row = table_->rows[index(name)];
  if (!row.continuous()) {
    fail(Code::kind, fmt::format("{} cannot be a range", row.name), "Give one value.");
  }
  set(name, Range{parse_value(low, row.unit), parse_value(typical, row.unit),
                  parse_value(high, row.unit)});
}

void Sheet::set_count(std::string_view name, long long number) {
  const std::size_t i = index(name);
  const Row& row = table_->rows[i];
  if (row.type != Row::Type::count) {
    fail(row.type == Row::Type::choice || row.type == Row::Type::curve ? Code::kind : Code::unit,
         fmt::format("{} is a plain number ({})", row.name, number), how_to_write(row, number));
  }
  if (number < row.fewest || number > row.most) {
    fail(Code::bounds, fmt::format("{} = {} is out of bounds", row.name, number),
         fmt::format("It must lie between {} and {}.", row.fewest, row.most));
  }
  entries_[i].number = static_cast<int>(number);
  entries_[i].given = true;
}

void Sheet::set_curve(std::string_view name, const Points& points) {
  const std::size_t i = index(name);
  const Row& row = table_->rows[i];
  if (row.type != Row::Type::curve) {
    fail(Code::kind, fmt::format("{} is not a curve", row.name));
  }
  check_curve(row, points);
  std::vector<double> x, y;
  for (const auto& [flow, rise] : points) {
    x.push_back(flow);
    y.push_back(rise);
  }
  entries_[i].curve.points = std::make_shared<MonotoneCurve>(x, y);
  entries_[i].points = points;
  entries_[i].given = true;
}

std::vector<std::size_t> Sheet::continuous() const {
  std::vector<std::size_t> rows;
  for (std::size_t i = 0; i < entries_.size(); ++i) {
    const Row& row = table_->rows[i];
    if (row.type == Row::Type::quantity || (row.type == Row::Type::override && entries_[i].given)) {
      rows.push_back(i);
    }
  }
  return rows;
}

}  // namespace libloop
