#include "libloop/model/build.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "libloop/model/builder.hpp"
#include "libloop/model/paths.hpp"
#include "libloop/part/radiator.hpp"

namespace libloop {
namespace {

// Of its typical values, m2.
double face_of(const Sheet& sheet) {
  std::vector<double> typical;
  for (const std::size_t row : sheet.continuous()) {
    typical.push_back(sheet.entry(row).range.typical);
  }
  const double* q = typical.data();
  const Radiator<double> radiator = take<Radiator>(sheet, q);
  return radiator.face_length() * radiator.face_width();
}

}  // namespace

Builder::Builder(const Model::Setup& setup)
    : setup_(setup),
      cooler_(setup.cooler),
      bench_(setup.bench),
      cells_(setup.cells),
      ring_(setup.cooler.network.join.empty()),
      wiring_(wire(setup.cooler)),
      built_{network::Circuit(0), 0, 0, network::nowhere, {}, {}, {}, {}} {
  const std::vector<const Sheet*> sheets = cooler_.sheets();
  const std::vector<std::string> paths = paths_of(sheets);
  for (std::size_t i = 0; i < sheets.size(); ++i) names_[sheets[i]] = paths[i];
}

Built Builder::whole() {
  stack_air();
  reserve_answers();
  add_surroundings();
  add_coolant();
  add_air_places();
  for (std::size_t run = 0; run < stacks_.size(); ++run) add_stack(run);
  add_chips();
  add_noise();
  circuit().close();
  return std::move(built_);
}

// Gives the answers of chips and radiators their places behind the common ones.
void Builder::reserve_answers() {
  int next = static_cast<int>(Raw::count);
  const auto take = [&](std::size_t count) {
    const int first = next;
    next += static_cast<int>(count);
    return first;
  };
  for (const Seated& place : setup_.seated) {
    BuiltChip chip;
    chip.place = &place;
    chip.name = place.seat->chip.path();
    chip.rise = take(1);
    chip.coolant_flow = take(1);
    chip.power = take(1);
    chip.budget = take(budget_rows.size());
    chip.hottest = take(place.seat->dies.size());
    built_.chips.push_back(std::move(chip));
  }
  double faces = 0.0;
  for (const Sheet* sheet : cooler_.all("radiator")) {
    BuiltRadiator radiator;
    radiator.sheet = sheet;
    radiator.name = names_.at(sheet);
    radiator.weight = face_of(*sheet);
    faces += radiator.weight;
    radiator.heat = take(1);
    radiator.coolant = take(1);
    radiator.intake = take(1);
    radiator.air_flow = take(1);
    radiator.air_mass = take(1);
    built_.radiators.push_back(std::move(radiator));
  }
  for (BuiltRadiator& radiator : built_.radiators) {
    radiator.weight /= faces;
    cores_[radiator.sheet].answers = &radiator;
  }
  built_.circuit = network::Circuit(next);
}

void Builder::append(std::vector<int>& all, const Sheet* sheet, int copy) const {
  const std::vector<std::vector<int>>& copies = setup_.places.of.at(sheet);
  const std::size_t which = std::min(static_cast<std::size_t>(copy), copies.size() - 1);
  all.insert(all.end(), copies[which].begin(), copies[which].end());
}

std::vector<int> Builder::quantities(std::initializer_list<const Sheet*> sheets, int copy) const {
  std::vector<int> all;
  for (const Sheet* sheet : sheets) append(all, sheet, copy);
  return all;
}

std::vector<int> Builder::new_states(const std::string& name, int count) {
  std::vector<int> states;
  for (int i = 0; i < count; ++i) {
    states.push_back(circuit().add_state(count == 1 ? name : fmt::format("{} {}", name, i + 1)));
  }
  return states;
}

Built build(const Model::Setup& setup) { return Builder(setup).whole(); }

}  // namespace libloop
