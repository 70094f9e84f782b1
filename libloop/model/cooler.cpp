#include "libloop/model/cooler.hpp"

#include <algorithm>
#include <stdexcept>
#include <utility>

#include "libloop/model/fit.hpp"
#include "libloop/model/paths.hpp"
#include "libloop/model/wiring.hpp"
#include "libloop/part/catalogue.hpp"

namespace libloop {
namespace {

std::size_t place_in_catalogue(std::string_view kind) {
  const std::vector<const Table*>& tables = cooler_tables();
  const auto found = std::find_if(tables.begin(), tables.end(),
                                  [&](const Table* table) { return table->kind == kind; });
  return static_cast<std::size_t>(found - tables.begin());
}

}  // namespace

Cooler::Cooler() {
  for (const char* kind : {"radiator", "pump", "tube", "cold_plate", "coolant"}) add(kind);
}

Sheet& Cooler::add(std::string_view kind, std::string name) {
  const std::size_t place = place_in_catalogue(kind);
  const auto behind = std::find_if(parts.begin(), parts.end(), [&](const Sheet& part) {
    return place_in_catalogue(part.table().kind) > place;
  });
  return *parts.insert(behind, Sheet(table_of(kind), std::move(name)));
}

void Cooler::add(Sheet part) {
  Sheet& place = add(part.table().kind);
  place = std::move(part);
}

void Cooler::clear(std::string_view kind) {
  parts.erase(std::remove_if(parts.begin(), parts.end(),
                             [&](const Sheet& part) { return part.table().kind == kind; }),
              parts.end());
}

std::vector<const Sheet*> Cooler::all(std::string_view kind) const {
  std::vector<const Sheet*> found;
  for (const Sheet& part : parts) {
    if (part.table().kind == kind) found.push_back(&part);
  }
  return found;
}

const Sheet& Cooler::the(std::string_view kind) const {
  for (const Sheet& part : parts) {
    if (part.table().kind == kind) return part;
  }
  throw std::out_of_range("the cooler has no " + std::string(kind));
}

Sheet& Cooler::the(std::string_view kind) {
  return const_cast<Sheet&>(std::as_const(*this).the(kind));  // NOLINT: *this is not const
}

Sheet& Cooler::find(std::string_view path) {
  for (Sheet& part : parts) {
    if (part.path() == path) return part;
  }
  throw std::out_of_range("the cooler has no " + std::string(path));
}

std::vector<const Sheet*> Cooler::sheets() const {
  std::vector<const Sheet*> all;
  for (const Sheet& part : parts) all.push_back(&part);
  return all;
}

void Cooler::set(std::string_view path, std::string_view value) {
  set_by_path(changeable(*this), path, value);
}

bool Cooler::has(std::string_view path) const { return has_kind(sheets(), path); }

std::vector<Problem> Cooler::problems() const {
  std::vector<Problem> problems = misfits(*this);
  for (Problem& problem : wire(*this).problems) problems.push_back(std::move(problem));
  return problems;
}

}  // namespace libloop
