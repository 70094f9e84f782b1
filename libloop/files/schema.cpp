#include "libloop/files/schema.hpp"

#include <fmt/format.h>

#include <utility>

#include "libloop/part/catalogue.hpp"

namespace libloop {
namespace {

const char* const not_built = "Loops of other shapes are not built yet in this version.";

std::vector<Elsewhere> tables_of_file(const std::string& kind,
                                      const std::vector<const Table*>& tables) {
  std::vector<Elsewhere> all;
  for (const Table* table : tables) {
    if (table->kind.find('.') != std::string::npos) continue;
    all.push_back(
        {table->kind, kind, fmt::format("[{}] belongs to a {} file.", table->kind, kind)});
  }
  return all;
}

void add_reserved(std::vector<Elsewhere>& all) {
  for (const char* kind : {"campaign", "study"}) {
    all.push_back({kind, kind, fmt::format("A {} is not built yet in this version.", kind)});
  }
}

Schema make_cooler() {
  Schema schema{"cooler", {}, tables_of_file("bench", bench_tables())};
  schema.sections.push_back({"cooler", nullptr, Section::Form::one, {"title", "notes", "price"}});
  for (const Table* table : cooler_tables()) {
    const bool fan = table->kind == "fan";
    schema.sections.push_back(
        {table->kind, table, fan ? Section::Form::list : Section::Form::either, {}});
  }
  schema.elsewhere.push_back({"network", "", not_built});
  add_reserved(schema.elsewhere);
  return schema;
}

Schema make_bench() {
  Schema schema{"bench", {}, tables_of_file("cooler", cooler_tables())};
  for (const Table* table : bench_tables()) {
    const bool die = table->kind == "chip.die";
    const bool head = table->kind == "bench";
    schema.sections.push_back(
        {table->kind, table, die ? Section::Form::list : Section::Form::one,
         head ? std::vector<std::string>{"title", "notes"} : std::vector<std::string>{}});
  }
  schema.elsewhere.push_back({"cooler", "cooler", "[cooler] belongs to a cooler file."});
  add_reserved(schema.elsewhere);
  return schema;
}

}  // namespace

const Schema& cooler_schema() {
  static const Schema schema = make_cooler();
  return schema;
}

const Schema& bench_schema() {
  static const Schema schema = make_bench();
  return schema;
}

}  // namespace libloop
