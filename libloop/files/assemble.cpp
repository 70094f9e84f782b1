#include "libloop/files/assemble.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "libloop/base/text.hpp"
#include "libloop/part/catalogue.hpp"

namespace libloop::files {
namespace {

std::string text_of(const Document& document, const char* key) {
  const auto found = document.texts.find(key);
  return found == document.texts.end() ? std::string() : found->second;
}

std::vector<Sheet> all_of(const Document& document, std::string_view kind) {
  std::vector<Sheet> sheets;
  for (const Sheet& sheet : document.sheets) {
    if (sheet.table().kind == kind) sheets.push_back(sheet);
  }
  return sheets;
}

bool has(const Document& document, const std::string& path) {
  return document.places.count(path) > 0;
}

// ---- what does not fit together

// The place of a part or a row; when it is not in the file that of the table around it,
// and in the end the file as a whole.
Place place_of(const Document& document, std::string path) {
  while (!path.empty()) {
    const auto found = document.places.find(path);
    if (found != document.places.end()) return found->second;
    const std::size_t dot = path.rfind('.');
    path.resize(dot == std::string::npos ? 0 : dot);
  }
  Place whole;
  whole.file = document.file;
  return whole;
}

void add(Document& document, Problem problem) {
  problem.place = place_of(document, problem.about);
  document.problems.push_back(std::move(problem));
}

// Whether it lies in a table with a fault of its own: its values are not yet what the
// writer means, so that nothing is to be said of how they fit.
bool is_faulty(const Document& document, const std::string& path) {
  return std::any_of(document.faulty.begin(), document.faulty.end(), [&](const std::string& table) {
    return path == table || path.compare(0, table.size() + 1, table + ".") == 0;
  });
}

// Whether the path names a row of a cooler, not a part or a join.
bool is_row(const std::string& path) {
  const std::string kind = path.substr(0, path.find('.'));
  const std::string row = path.substr(path.rfind('.') + 1);
  return std::any_of(cooler_tables().begin(), cooler_tables().end(), [&](const Table* table) {
    return table->kind == kind && table->find(row) != nullptr;
  });
}

void throw_if_any(Document& document) {
  if (document.problems.empty()) return;
  sort_by_place(document.problems);
  throw InputError(std::move(document.problems));
}

// ---- coolers

Network network_of(const Document& document) {
  Network network;
  const auto words = [&](const std::string& key) {
    const auto found = document.words.find(key);
    return found == document.words.end() ? Words() : found->second;
  };
  network.join = words("network.join");
  for (int i = 1; has(document, fmt::format("network.air.{}", i)); ++i) {
    const std::string path = fmt::format("network.air.{}", i);
    AirPath air;
    air.through = words(path + ".through");
    for (auto [key, place] : {std::pair(".from", &air.from), std::pair(".to", &air.to)}) {
      const Words word = words(path + key);
      if (!word.empty() && !word.front().empty()) *place = word.front().front();
    }
    network.air.push_back(std::move(air));
  }
  return network;
}

// Where joins are written out, a part is there when the file lists it; a sealed loop has
// its usual parts even when the file does not.
void take_parts(const Document& document, Cooler& cooler) {
  if (has(document, "network.join")) {
    cooler.parts.clear();
    cooler.add("coolant");
  }
  for (const Table* table : cooler_tables()) {
    const std::vector<Sheet> listed = all_of(document, table->kind);
    if (!listed.empty()) cooler.clear(table->kind);
    for (const Sheet& part : listed) cooler.add(part);
  }
}

bool sizes_are_known(const Cooler& cooler) {
  const std::vector<const Sheet*> radiators = cooler.all("radiator");
  return std::all_of(radiators.begin(), radiators.end(),
                     [](const Sheet* radiator) { return radiator->given("class"); });
}

// What the parts say of each other and of how they are joined.
void add_misfits(Document& document, const Cooler& cooler) {
  for (const Problem& problem : cooler.problems()) {
    const bool of_row = is_row(problem.about);
    if (!of_row && !document.whole) continue;
    if (of_row && problem.code == Code::conflict && !sizes_are_known(cooler)) continue;
    if (!is_faulty(document, problem.about)) add(document, problem);
  }
}

void refuse_empty_network(Document& document, const Network& network) {
  if (!has(document, "network") || !network.empty() || !document.whole) return;
  add(document, {Code::missing,
                 "network says nothing",
                 "Write join, or [[network.air]], or leave [network] out.",
                 {},
                 "network"});
}

// ---- benches

// Chips in the order of the file, each with the dies that lie in its table.
std::vector<Seat> seats_of(const Document& document) {
  const std::vector<Sheet>& sheets = document.sheets;
  std::vector<Seat> seats;
  for (auto chip = sheets.begin(); chip != sheets.end(); ++chip) {
    if (chip->table().kind != "chip") continue;
    const auto end = std::find_if(chip + 1, sheets.end(), [](const Sheet& sheet) {
      return sheet.table().kind != "chip.die";
    });
    Seat seat(chip->name());
    seat.chip = *chip;
    if (end != chip + 1) seat.dies.assign(chip + 1, end);
    seats.push_back(std::move(seat));
  }
  if (seats.empty()) seats.emplace_back();
  return seats;
}

std::string which_chips(const std::string& name, const std::vector<Seat>& seats) {
  std::vector<std::string> names;
  for (const Seat& seat : seats) {
    if (!seat.name().empty()) names.push_back(seat.name());
  }
  if (names.empty()) return "The chip has no name: give it one, or write one table without a name.";
  const std::string near = text::did_you_mean(name, names);
  return near.empty() ? "It bears the name of its chip: " + text::list(names, "or") + "." : near;
}

// Of each chip what stands in the entry of its name; an entry without a name is for all.
void give_out(Document& document, const char* kind, Sheet Seat::*own, std::vector<Seat>& seats) {
  for (Sheet& sheet : all_of(document, kind)) {
    bool found = false;
    for (Seat& seat : seats) {
      if (!sheet.name().empty() && sheet.name() != seat.name()) continue;
      seat.*own = sheet;
      (seat.*own).rename(seat.name());
      found = true;
    }
    if (found || !document.whole) continue;
    add(document,
        {Code::unknown,
         fmt::format("{} is for no chip: none is called '{}'", sheet.path(), sheet.name()),
         which_chips(sheet.name(), seats),
         {},
         sheet.path() + ".name"});
  }
}

}  // namespace

Cooler cooler_of(Document document) {
  Cooler cooler;
  cooler.title = text_of(document, "cooler.title");
  cooler.notes = text_of(document, "cooler.notes");
  cooler.price = text_of(document, "cooler.price");
  cooler.network = network_of(document);
  take_parts(document, cooler);
  refuse_empty_network(document, cooler.network);
  add_misfits(document, cooler);
  throw_if_any(document);
  return cooler;
}

Bench bench_of(Document document) {
  Bench bench;
  bench.title = text_of(document, "bench.title");
  bench.notes = text_of(document, "bench.notes");
  bench.seats = seats_of(document);
  give_out(document, "paste", &Seat::paste, bench.seats);
  give_out(document, "board", &Seat::board, bench.seats);
  give_out(document, "sensor", &Seat::sensor, bench.seats);
  for (Sheet* one : {&bench.bench, &bench.surroundings, &bench.instruments, &bench.law}) {
    const std::vector<Sheet> found = all_of(document, one->table().kind);
    if (!found.empty()) *one = found.front();
  }
  for (const Problem& problem : bench.problems()) {
    if (!is_faulty(document, problem.about)) add(document, problem);
  }
  throw_if_any(document);
  return bench;
}

}  // namespace libloop::files
