// What is under test, and what it stands on: the values a Model is made from.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "libloop/base/error.hpp"
#include "libloop/quantity/table.hpp"

namespace libloop {

// One sealed loop: radiator, fans in a row, pump, two hoses, cold plate.
struct Cooler {
  Cooler();

  std::string title, notes, price;
  Sheet radiator;
  std::vector<Sheet> fans;  // one entry a product, with its count
  Sheet pump, tube, cold_plate, coolant;

  // "radiator.fin_density", "16 fpi". Throws InputError.
  void set(std::string_view path, std::string_view value);
  bool has(std::string_view path) const;  // whether the first words name a part of it

  // Everything that makes the parts not fit together. Empty when all is well.
  std::vector<Problem> problems() const;

  std::vector<const Sheet*> sheets() const;
};

struct Bench {
  Bench();

  std::string title, notes;
  Sheet bench, chip;
  std::vector<Sheet> dies;
  Sheet paste, board, surroundings, sensor, law;

  void set(std::string_view path, std::string_view value);
  bool has(std::string_view path) const;
  std::vector<Problem> problems() const;
  std::vector<const Sheet*> sheets() const;
};

// The benches that come with the library, typical and nobody's.
std::vector<std::string> generic_benches();
// Throws InputError with a near-miss suggestion.
Bench generic_bench(std::string_view name);

}  // namespace libloop
