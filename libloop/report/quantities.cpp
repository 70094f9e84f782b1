#include "libloop/report/quantities.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "libloop/base/error.hpp"
#include "libloop/base/text.hpp"
#include "libloop/part/catalogue.hpp"
#include "libloop/quantity/unit.hpp"
#include "libloop/report/json_parts.hpp"
#include "libloop/report/row_words.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

std::vector<const Table*> all_tables() {
  std::vector<const Table*> all = cooler_tables();
  all.insert(all.end(), bench_tables().begin(), bench_tables().end());
  all.push_back(&conditions_table());
  return all;
}

// ---- text

std::string one_row(const Row& row) {
  const bool quantity = row.type == Row::Type::quantity;
  const bool rule = row.type == Row::Type::override;
  const std::string possible_words = quantity ? range_of(row, row.range)
                                     : rule   ? bounds_words(row)
                                              : possible(row);
  const std::string tail = row.continuous() ? fmt::format("{}, {}", word(row.kind), word(row.scope))
                                            : std::string(type_word(row.type));
  std::string out =
      fmt::format("  {:<22} {:>14}  {:<32}  {}", row.name, usual(row), possible_words, tail);
  out.erase(out.find_last_not_of(' ') + 1);
  const std::string source = quantity ? " Source: " + row.source + "."
                             : rule   ? " Left out: " + possible(row) + "."
                                      : "";
  return out + '\n' + paragraph("      ", row.meaning + source);
}

// ---- JSON

Json one_json(const Row& row) {
  Json json{{"name", row.name}, {"type", type_word(row.type)}};
  const auto number = [&](double si) { return tidy(to_unit(si, row.unit)); };
  if (!row.unit.empty()) json["unit"] = row.unit;
  if (row.type == Row::Type::quantity) {
    json["low"] = number(row.range.low);
    json["typical"] = number(row.range.typical);
    json["high"] = number(row.range.high);
  }
  if (!row.unit.empty()) {
    json["min"] = number(row.min);
    json["max"] = number(row.max);
  }
  if (row.continuous()) {
    json["transform"] = word(row.transform);
    json["kind"] = word(row.kind);
    json["scope"] = word(row.scope);
    json[row.type == Row::Type::override ? "rule" : "source"] = row.source;
  } else if (row.type == Row::Type::nominal) {
    json["typical"] = row.range.typical > 0.0 ? Json(number(row.range.typical)) : Json();
  } else if (row.type == Row::Type::count) {
    json["typical"] = row.number;
    json["min"] = row.fewest;
    json["max"] = row.most;
  } else if (row.type == Row::Type::choice) {
    json["words"] = row.words;
    json["required"] = row.required;
  } else if (row.type == Row::Type::curve) {
    json["x"] = {{"name", row.x_name}, {"unit", row.x_unit}};
    json["y"] = {{"name", row.y_name}, {"unit", row.y_unit}};
  }
  json["meaning"] = row.meaning;
  return json;
}

}  // namespace

std::vector<const Table*> tables_named(std::string_view part) {
  const std::vector<const Table*> all = all_tables();
  if (part.empty()) return all;
  std::vector<const Table*> some;
  std::vector<std::string> kinds;
  for (const Table* table : all) {
    kinds.push_back(table->kind);
    if (table->kind == part || table->kind.rfind(std::string(part) + ".", 0) == 0) {
      some.push_back(table);
    }
  }
  if (!some.empty()) return some;
  std::string hint = text::did_you_mean(part, kinds);
  if (hint.empty()) hint = "There are " + text::list(kinds) + ".";
  throw InputError(Problem{Code::unknown, fmt::format("no part is called '{}'", part), hint, {}});
}

std::string quantities_text(const std::vector<const Table*>& tables) {
  std::size_t count = 0;
  for (const Table* table : tables) count += table->rows.size();
  std::string out = fmt::format(
      "{} rows of {} {}: name, typical value, 5 to 95 % or what is "
      "possible, kind and scope.\n",
      count, tables.size(), tables.size() == 1 ? "part" : "parts");
  for (const Table* table : tables) {
    out += fmt::format("\n{}\n", table->kind);
    for (const Row& row : table->rows) out += one_row(row);
  }
  return out;
}

std::string quantities_json(const std::vector<const Table*>& tables) {
  Json json = json_head();
  json["parts"] = Json::array();
  for (const Table* table : tables) {
    Json rows = Json::array();
    for (const Row& row : table->rows) rows.push_back(one_json(row));
    json["parts"].push_back({{"part", table->kind}, {"rows", std::move(rows)}});
  }
  return json_text(json);
}

std::string quantities_csv(const std::vector<const Table*>& tables) {
  std::string out = csv_line({"part", "name", "type", "unit", "low", "typical", "high", "possible",
                              "kind", "scope", "source", "meaning"});
  for (const Table* table : tables) {
    for (const Row& row : table->rows) {
      const bool quantity = row.type == Row::Type::quantity;
      const bool number = quantity || row.type == Row::Type::nominal;
      out += csv_line({table->kind, row.name, std::string(type_word(row.type)), row.unit,
                       low_of(row, row.range),
                       number                            ? typical_of(row, row.range)
                       : row.type == Row::Type::override ? ""
                                                         : usual(row),
                       high_of(row, row.range), number ? bounds_words(row) : possible(row),
                       row.continuous() ? std::string(word(row.kind)) : "",
                       row.continuous() ? std::string(word(row.scope)) : "",
                       quantity ? row.source : "", row.meaning});
    }
  }
  return out;
}

}  // namespace libloop::report
