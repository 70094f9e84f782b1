#include "libloop/model/cooler.hpp"
#include "libloop/model/fit.hpp"
#include "libloop/model/paths.hpp"
#include "libloop/part/catalogue.hpp"

namespace libloop {

Seat::Seat(const std::string& name)
    : chip(table_of("chip"), name),
      dies{Sheet(table_of("chip.die"), name)},
      paste(table_of("paste"), name),
      board(table_of("board"), name),
      sensor(table_of("sensor"), name) {}

Bench::Bench()
    : bench(table_of("bench")),
      seats(1),
      surroundings(table_of("surroundings")),
      instruments(table_of("instruments")),
      law(table_of("law")) {}

std::vector<const Sheet*> Bench::sheets() const {
  std::vector<const Sheet*> all{&bench};
  for (const Seat& at : seats) {
    all.push_back(&at.chip);
    for (const Sheet& die : at.dies) all.push_back(&die);
    for (const Sheet* sheet : {&at.paste, &at.board}) all.push_back(sheet);
  }
  all.push_back(&surroundings);
  for (const Seat& at : seats) all.push_back(&at.sensor);
  all.push_back(&instruments);
  all.push_back(&law);
  return all;
}

void Bench::set(std::string_view path, std::string_view value) {
  set_by_path(changeable(*this), path, value);
}

bool Bench::has(std::string_view path) const { return has_kind(sheets(), path); }

std::vector<Problem> Bench::problems() const { return misfits(*this); }

const Seat* seat_of(const Sheet& plate, const Cooler& cooler, const Bench& bench) {
  for (const Seat& seat : bench.seats) {
    if (seat.name() == plate.name() && !(bench.seats.size() > 1 && plate.name().empty())) {
      return &seat;
    }
  }
  if (cooler.all("cold_plate").size() == 1 && !bench.seats.empty()) return &bench.seats.front();
  return nullptr;
}

}  // namespace libloop
