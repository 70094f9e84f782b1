#include "libloop/report/check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "libloop/base/text.hpp"
#include "libloop/model/paths.hpp"
#include "libloop/quantity/unit.hpp"
#include "libloop/report/json_parts.hpp"
#include "libloop/report/row_words.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

using Align = TextTable::Align;

// One row of one part: where its value comes from, and the value in words.
struct Item {
  enum class Origin { given, assumed, rule };
  Origin origin = Origin::given;
  std::string path;
  const Row* row = nullptr;
  const Entry* entry = nullptr;
  std::string value;  // "17 fpi", "louvered", "5 points"
  std::string doubt;  // "15 to 19 fpi", "exact"; of a rule the rule
};

std::string_view word(Item::Origin origin) {
  switch (origin) {
    case Item::Origin::given:
      return "given";
    case Item::Origin::assumed:
      return "assumed";
    case Item::Origin::rule:
      return "rule";
  }
  return "given";
}

// What a given curve stands for.
bool replaced_by_curve(const Sheet& sheet, const Row& row) {
  constexpr std::array<std::string_view, 5> shape = {"free_flow", "static_pressure", "shutoff_head",
                                                     "curve_shape", "stall_dip"};
  if (sheet.table().find("curve") == nullptr || !sheet.given("curve")) return false;
  return std::find(shape.begin(), shape.end(), row.name) != shape.end();
}

// A given value was perhaps written in another unit: no digits that come from the way.
int digits_of(const Entry& entry) { return entry.given ? 4 : 6; }

std::string value_of(const Row& row, const Entry& entry) {
  switch (row.type) {
    case Row::Type::count:
      return std::to_string(entry.number);
    case Row::Type::choice:
      return row.words[static_cast<std::size_t>(entry.number)];
    case Row::Type::curve:
      return fmt::format("{} points", entry.points.size());
    case Row::Type::nominal:
      if (!entry.given && entry.range.typical == 0.0) return "by rule";
      break;
    case Row::Type::quantity:
    case Row::Type::override:
      break;
  }
  return show(entry.range.typical, row.unit, digits_of(entry));
}

std::string doubt_of(const Row& row, const Entry& entry) {
  if (row.type == Row::Type::quantity || row.type == Row::Type::override) {
    return range_of(row, entry.range, digits_of(entry));
  }
  if (row.type == Row::Type::curve) {
    return fmt::format("to {}", show(entry.points.back().first, row.x_unit));
  }
  return row.type == Row::Type::nominal ? "" : possible(row);
}

void add(std::vector<Item>& items, const Sheet& sheet, const std::string& path, std::size_t i) {
  const Row& row = sheet.table().rows[i];
  const Entry& entry = sheet.entry(i);
  Item item{Item::Origin::given, path + "." + row.name, &row, &entry, "", ""};
  if (!entry.given) {
    if (row.type == Row::Type::curve) return;
    item.origin = Item::Origin::assumed;
    const bool replaced = replaced_by_curve(sheet, row);
    if (row.type == Row::Type::override || replaced) {
      item.origin = Item::Origin::rule;
      item.doubt = replaced ? "the curve stands for it" : possible(row);
      items.push_back(std::move(item));
      return;
    }
  }
  item.value = value_of(row, entry);
  item.doubt = doubt_of(row, entry);
  items.push_back(std::move(item));
}

std::vector<Item> items_of(const Contents& file) {
  std::vector<Item> items;
  const std::vector<std::string> paths = paths_of(file.sheets);
  for (std::size_t s = 0; s < file.sheets.size(); ++s) {
    const Sheet& sheet = *file.sheets[s];
    for (std::size_t i = 0; i < sheet.table().rows.size(); ++i) add(items, sheet, paths[s], i);
  }
  return items;
}

std::vector<Item> only(const std::vector<Item>& items, Item::Origin origin) {
  std::vector<Item> some;
  std::copy_if(items.begin(), items.end(), std::back_inserter(some),
               [&](const Item& item) { return item.origin == origin; });
  return some;
}

// ---- text

std::string section(const std::string& head, const std::vector<Item>& items) {
  if (items.empty()) return {};
  TextTable table;
  table.column("quantity", "", Align::left);
  table.column("value", "", Align::right);
  table.column("5 to 95 %, or what is possible", "", Align::left);
  for (const Item& item : items) table.row({item.path, item.value, item.doubt});
  return "\n" + head + "\n" + table.text();
}

std::string rules(const std::vector<Item>& items) {
  if (items.empty()) return {};
  TextTable table;
  table.column("quantity", "", Align::left);
  table.column("rule", "", Align::left);
  for (const Item& item : items) table.row({item.path, item.doubt});
  return "\nFollowing a rule, unless given\n" + table.text();
}

// ---- JSON

Json json_of(const Item& item) {
  const Row& row = *item.row;
  const Entry& entry = *item.entry;
  Json json{{"quantity", item.path}, {"type", type_word(row.type)}};
  if (item.origin == Item::Origin::rule) {
    json["rule"] = item.doubt;
  } else if (row.type == Row::Type::count) {
    json["value"] = entry.number;
  } else if (row.type == Row::Type::choice) {
    json["value"] = item.value;
  } else if (row.type == Row::Type::curve) {
    json["points"] = entry.points.size();
  } else {
    json["unit"] = row.unit;
    json["low"] = tidy(to_unit(entry.range.low, row.unit));
    json["typical"] = tidy(to_unit(entry.range.typical, row.unit));
    json["high"] = tidy(to_unit(entry.range.high, row.unit));
  }
  return json;
}

Json list_of(const std::vector<Item>& items) {
  Json list = Json::array();
  for (const Item& item : items) list.push_back(json_of(item));
  return list;
}

}  // namespace

Contents contents(const Cooler& cooler, std::string file) {
  return {std::move(file), "cooler", cooler.title, cooler.sheets()};
}

Contents contents(const Bench& bench, std::string file) {
  return {std::move(file), "bench", bench.title, bench.sheets()};
}

std::string text(const Contents& file) {
  const std::vector<Item> all = items_of(file);
  const std::vector<Item> given = only(all, Item::Origin::given);
  const std::vector<Item> assumed = only(all, Item::Origin::assumed);
  const std::vector<Item> by_rule = only(all, Item::Origin::rule);
  const std::string values = given.size() == 1 ? "1 value" : fmt::format("{} values", given.size());
  const std::string title = file.title.empty() ? "" : " '" + file.title + "'";
  return paragraph("", fmt::format("{}: the {}{} is in order: {} given, {} assumed.", file.file,
                                   file.kind, title, values, assumed.size())) +
         section("Given", given) + section("Assumed: typical value and range", assumed) +
         rules(by_rule);
}

std::string json(std::span<const Contents> files) {
  Json json = json_head();
  json["files"] = Json::array();
  for (const Contents& file : files) {
    const std::vector<Item> all = items_of(file);
    json["files"].push_back({{"file", file.file},
                             {"kind", file.kind},
                             {"title", file.title},
                             {"given", list_of(only(all, Item::Origin::given))},
                             {"assumed", list_of(only(all, Item::Origin::assumed))},
                             {"rules", list_of(only(all, Item::Origin::rule))}});
  }
  return json_text(json);
}

std::string csv(std::span<const Contents> files) {
  std::string out =
      csv_line({"file", "quantity", "type", "origin", "unit", "low", "typical", "high", "words"});
  for (const Contents& file : files) {
    for (const Item& item : items_of(file)) {
      const Row& row = *item.row;
      std::vector<std::string> cells = {file.file, item.path, std::string(type_word(row.type)),
                                        std::string(word(item.origin)), row.unit};
      const bool numbers =
          item.origin != Item::Origin::rule && !row.unit.empty() && row.type != Row::Type::curve;
      const Range& range = item.entry->range;
      for (const double si : {range.low, range.typical, range.high}) {
        cells.push_back(numbers ? exact(tidy(to_unit(si, row.unit))) : "");
      }
      cells.push_back(numbers ? "" : item.value.empty() ? item.doubt : item.value);
      out += csv_line(cells);
    }
  }
  return out;
}

}  // namespace libloop::report
