// The type-erased table of a part's rows, and a sheet: one part's values.
//
// A Sheet is what a file or a program fills; it knows every row of its part, which rows
// were given, and the range of those that were not. `take` turns it into the plain
// struct that the laws read.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "libloop/quantity/declared.hpp"
#include "libloop/quantity/range.hpp"

namespace libloop {

struct Row {
  enum class Type { quantity, override, nominal, count, choice, curve };
  Type type = Type::quantity;
  std::string name, unit, source, meaning;
  Range range;                  // SI; of a nominal its typical value
  double min = 0.0, max = 0.0;  // SI
  Transform transform = Transform::none;
  Kind kind = Kind::geometry;
  Scope scope = Scope::product;
  std::vector<std::string> words;        // of a choice
  int number = 0, fewest = 0, most = 0;  // of a count; default word of a choice
  bool required = false;
  std::string x_unit, y_unit, x_name, y_name;  // of a curve

  // Takes part in derivatives: a quantity, or an override once it is given.
  bool continuous() const { return type == Type::quantity || type == Type::override; }
};

// The rows of one kind of part, in the order of its `describe`.
struct Table {
  std::string kind;  // "radiator", "chip.die"
  std::vector<Row> rows;

  const Row* find(std::string_view name) const;
  std::vector<std::string> names() const;
};

using Points = std::vector<std::pair<double, double>>;  // SI

// The first point that keeps `points` from being a curve, to mark it: flows rise from 0,
// nothing is below 0, the first pressure is above it, and the last point lies lower than the
// one before. In between a curve may rise in part.
std::optional<std::size_t> faulty_point(const Points& points);

struct Entry {
  bool given = false;
  Range range;
  int number = 0;
  Curve curve;
  Points points;
};

class Sheet {
 public:
  Sheet() = default;
  explicit Sheet(const Table& table, std::string name = {});

  const Table& table() const { return *table_; }
  const std::string& name() const { return name_; }
  void rename(std::string name) { name_ = std::move(name); }
  // "radiator", "radiator.top", "chip.die.2"
  std::string path() const;

  // Each throws InputError without a place: unknown, unit, dimension, bounds, order, kind.
  void set(std::string_view row, std::string_view text);
  void set(std::string_view row, const Range& range);
  void set(std::string_view row, std::string_view low, std::string_view typical,
           std::string_view high);
  void set_count(std::string_view row, long long number);
  void set_curve(std::string_view row, const Points& points);

  const Entry& entry(std::string_view row) const;
  const Entry& entry(std::size_t index) const { return entries_[index]; }
  bool given(std::string_view row) const { return entry(row).given; }
  // The chosen word, the count, the typical value.
  const std::string& choice(std::string_view row) const;
  int count(std::string_view row) const { return entry(row).number; }
  double typical(std::string_view row) const { return entry(row).range.typical; }

  // The rows that take part in derivatives and samples, by index.
  std::vector<std::size_t> continuous() const;

 private:
  std::size_t index(std::string_view row) const;
  const Table* table_ = nullptr;
  std::string name_;
  std::vector<Entry> entries_;
};

// ---- from a struct's describe to its table and back

namespace detail {
Row make_row(const Declared&);
Row make_row(const DeclaredOverride&);
Row make_row(const DeclaredNominal&);
Row make_row(const DeclaredCount&);
Row make_row(const DeclaredChoice&);
Row make_row(const DeclaredCurve&);

// Assigns one member from its entry; continuous ones from the next number of `q`.
template <class T>
struct Filler {
  const Sheet& sheet;
  const T* q;
  std::size_t row = 0;

  template <class D>
  void operator()(T& member, const D&) {
    member = *q++;
    ++row;
  }
  template <class D>
  void operator()(Override<T>& member, const D&) {
    member.given = sheet.entry(row++).given;
    if (member.given) member.value = *q++;
  }
  template <class D>
  void operator()(Nominal& member, const D&) {
    member.value = sheet.entry(row++).range.typical;
  }
  template <class D>
  void operator()(Count& member, const D&) {
    member.value = sheet.entry(row++).number;
  }
  template <class D>
  void operator()(Choice& member, const D&) {
    member.value = sheet.entry(row++).number;
  }
  template <class D>
  void operator()(Curve& member, const D&) {
    member = sheet.entry(row++).curve;
  }
};
}  // namespace detail

// Part is a struct template instance, e.g. Radiator<double>.
template <class Part>
Table make_table(std::string kind) {
  Table table{std::move(kind), {}};
  Part part;
  Part::describe(
      part, [&](auto&, const auto& declared) { table.rows.push_back(detail::make_row(declared)); });
  return table;
}

// The struct with the discrete rows of `sheet` and the next continuous numbers of `q` (SI,
// as many as sheet.continuous() has); moves q past them.
template <template <class> class Part, class T>
Part<T> take(const Sheet& sheet, const T*& q) {
  Part<T> part;
  detail::Filler<T> filler{sheet, q};
  Part<T>::describe(part, filler);  // by reference: it counts along
  q = filler.q;
  return part;
}

}  // namespace libloop
