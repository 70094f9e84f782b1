#include "libloop/files/schema.hpp"

#include <fmt/format.h>

#include <utility>

#include "libloop/part/catalogue.hpp"

namespace libloop {
namespace {

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

Section network() {
  return {"network",
          nullptr,
          Section::Form::one,
          {},
          {{"join", WordKey::Shape::rows, R"(join = [["pump.out", "cold_plate.in"], ...])"}}};
}

Section air_path() {
  return {"network.air",
          nullptr,
          Section::Form::list,
          {},
          {{"from", WordKey::Shape::one, R"(from = "outside")"},
           {"through", WordKey::Shape::row, R"(through = ["fan", "radiator"])"},
           {"to", WordKey::Shape::one, R"(to = "outside")"}}};
}

Section::Form form_of_part(const std::string& kind) {
  if (kind == "fan") return Section::Form::list;
  if (kind == "coolant") return Section::Form::one;
  return Section::Form::either;
}

// Each chip may have its own.
Section::Form form_on_bench(const std::string& kind) {
  if (kind == "chip.die") return Section::Form::list;
  const bool of_chip = kind == "chip" || kind == "paste" || kind == "board" || kind == "sensor";
  return of_chip ? Section::Form::either : Section::Form::one;
}

Schema make_cooler() {
  Schema schema{"cooler", {}, tables_of_file("bench", bench_tables())};
  schema.sections.push_back({"cooler", nullptr, Section::Form::one, {"title", "notes", "price"}});
  for (const Table* table : cooler_tables()) {
    schema.sections.push_back({table->kind, table, form_of_part(table->kind), {}});
  }
  schema.sections.push_back(network());
  schema.sections.push_back(air_path());
  add_reserved(schema.elsewhere);
  return schema;
}

Schema make_bench() {
  Schema schema{"bench", {}, tables_of_file("cooler", cooler_tables())};
  for (const Table* table : bench_tables()) {
    const bool head = table->kind == "bench";
    schema.sections.push_back(
        {table->kind, table, form_on_bench(table->kind),
         head ? std::vector<std::string>{"title", "notes"} : std::vector<std::string>{}});
  }
  for (const char* name : {"cooler", "network"}) {
    schema.elsewhere.push_back(
        {name, "cooler", fmt::format("[{}] belongs to a cooler file.", name)});
  }
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
