// What is under test, and what it stands on: the values a Model is made from.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "libloop/base/error.hpp"
#include "libloop/quantity/table.hpp"

namespace libloop {

// One way of the air: from a place through fans, cores and openings to a place. "outside"
// is the air around everything; a case is a place too, and any other word names a place
// where paths meet.
struct AirPath {
  std::string from = "outside";
  std::vector<std::vector<std::string>> through;  // in the air's order; parts side by side
  std::string to = "outside";
};

// How named parts are joined (docs/files.md). Empty: one sealed loop.
struct Network {
  // Ports that meet: "pump.out", "radiator.top.in". A word that is no port names the place
  // itself, so that other joins can meet there.
  std::vector<std::vector<std::string>> join;
  std::vector<AirPath> air;

  bool empty() const { return join.empty() && air.empty(); }
};

// Radiators, fans, pumps, tubes, plates and what else carries coolant or air. Without a
// network: one radiator, its fans, one pump, two tubes alike and one cold plate in a ring.
struct Cooler {
  Cooler();  // one radiator, pump, tube, cold plate and coolant; no fan yet

  std::string title, notes, price;
  std::vector<Sheet> parts;  // kind by kind, in the order of the catalogue
  Network network;

  // Adds a part behind others of its kind. References to parts end here.
  Sheet& add(std::string_view kind, std::string name = {});
  void add(Sheet part);
  void clear(std::string_view kind);  // takes all parts of a kind away
  std::vector<const Sheet*> all(std::string_view kind) const;
  // The first of its kind. Throws std::out_of_range when there is none.
  Sheet& the(std::string_view kind);
  const Sheet& the(std::string_view kind) const;
  // By kind and name, "radiator.top". Throws std::out_of_range.
  Sheet& find(std::string_view path);

  // "radiator.fin_density", "16 fpi". Throws InputError.
  void set(std::string_view path, std::string_view value);
  bool has(std::string_view path) const;  // whether the first words name a part of it

  // Everything that makes the parts not fit together. Empty when all is well.
  std::vector<Problem> problems() const;

  std::vector<const Sheet*> sheets() const;
};

// A chip and what is its own: the place where one cold plate sits.
struct Seat {
  explicit Seat(const std::string& name = {});

  const std::string& name() const { return chip.name(); }

  Sheet chip;
  std::vector<Sheet> dies;
  Sheet paste, board, sensor;
};

struct Bench {
  Bench();  // one seat

  std::string title, notes;
  Sheet bench;
  std::vector<Seat> seats;
  Sheet surroundings, instruments, law;

  Seat& seat() { return seats.front(); }
  const Seat& seat() const { return seats.front(); }

  void set(std::string_view path, std::string_view value);
  bool has(std::string_view path) const;
  std::vector<Problem> problems() const;
  std::vector<const Sheet*> sheets() const;
};

// The seat on which a cooler's plate sits: of the same name, or the first when the cooler
// has one plate only. Null when there is none.
const Seat* seat_of(const Sheet& plate, const Cooler& cooler, const Bench& bench);

// The benches that come with the library, typical and nobody's.
std::vector<std::string> generic_benches();
// Throws InputError with a near-miss suggestion.
Bench generic_bench(std::string_view name);

}  // namespace libloop
