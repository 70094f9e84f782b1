#include "libloop/model/model.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/text.hpp"
#include "libloop/model/build.hpp"
#include "libloop/part/catalogue.hpp"

namespace libloop {
namespace {

constexpr std::array<std::string_view, 5> duty_rows = {"load", "ambient", "altitude", "fan",
                                                       "pump"};

// Entries of a list that have no name are called by their number.
std::string path_of(const Sheet& sheet, std::size_t number, std::size_t of) {
  if (of < 2 || !sheet.name().empty()) return sheet.path();
  return fmt::format("{}.{}", sheet.table().kind, number + 1);
}

// Gives each continuous row of a sheet its place among the model's quantities: one for
// all copies, or one each.
void enlist(const Sheet& sheet, const std::string& path, int copies, Model::Setup& setup) {
  std::vector<std::vector<int>> places(static_cast<std::size_t>(copies));
  for (const std::size_t i : sheet.continuous()) {
    const Row& row = sheet.table().rows[i];
    const Entry& entry = sheet.entry(i);
    const std::string base = path + "." + row.name;
    const bool each = row.scope == Scope::each && copies > 1;
    for (int copy = 0; copy < copies; ++copy) {
      if (copy == 0 || each) {
        setup.quantities.push_back({each ? fmt::format("{}.{}", base, copy + 1) : base, base, &row,
                                    entry.range, entry.given});
      }
      places[static_cast<std::size_t>(copy)].push_back(static_cast<int>(setup.quantities.size()) -
                                                       1);
    }
  }
  setup.places.of[&sheet] = std::move(places);
}

void enlist_all(const std::vector<Sheet>& sheets, Model::Setup& setup) {
  for (std::size_t i = 0; i < sheets.size(); ++i) {
    const bool counted = sheets[i].table().find("count") != nullptr;
    enlist(sheets[i], path_of(sheets[i], i, sheets.size()), counted ? sheets[i].count("count") : 1,
           setup);
  }
}

}  // namespace

Model::Model(const Cooler& cooler, const Bench& bench, int cells) {
  std::vector<Problem> problems = cooler.problems();
  for (Problem& problem : bench.problems()) problems.push_back(std::move(problem));
  if (cells < 1 || cells > 1000) {
    problems.push_back({Code::call, fmt::format("{} cells", cells), "Between 1 and 1000.", {}});
  }
  if (!problems.empty()) throw InputError(std::move(problems));

  auto setup = std::make_shared<Setup>();
  setup->cooler = cooler;
  setup->bench = bench;
  setup->conditions = Sheet(conditions_table());
  setup->cells = cells;
  const Cooler& c = setup->cooler;
  const Bench& b = setup->bench;
  enlist(c.radiator, c.radiator.path(), 1, *setup);
  enlist_all(c.fans, *setup);
  for (const Sheet* sheet : {&c.pump, &c.tube, &c.cold_plate, &c.coolant}) {
    enlist(*sheet, sheet->path(), 1, *setup);
  }
  for (const Sheet* sheet : {&b.bench, &b.chip}) enlist(*sheet, sheet->path(), 1, *setup);
  enlist_all(b.dies, *setup);
  for (const Sheet* sheet : {&b.paste, &b.board, &b.surroundings, &b.sensor, &b.law}) {
    enlist(*sheet, sheet->path(), 1, *setup);
  }
  enlist(setup->conditions, "conditions", 1, *setup);
  setup_ = setup;
  for (std::size_t i = 0; i < duty_rows.size(); ++i) {
    setup->duty[i] = static_cast<int>(index(fmt::format("conditions.{}", duty_rows[i])));
  }
}

const std::vector<Quantity>& Model::quantities() const { return setup_->quantities; }
const Cooler& Model::cooler() const { return setup_->cooler; }
const Bench& Model::bench() const { return setup_->bench; }

std::size_t Model::index(std::string_view name) const {
  const std::vector<Quantity>& all = setup_->quantities;
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (all[i].name == name) return i;
  }
  std::vector<std::string> names;
  for (const Quantity& q : all) names.push_back(q.name);
  throw InputError(Problem{Code::unknown,
                           fmt::format("no quantity is called '{}'", name),
                           text::did_you_mean(name, names),
                           {}});
}

void Model::set_duty(const Duty& duty, std::vector<double>& values) const {
  const std::array<double, 5> number = {duty.load, duty.ambient, duty.altitude, duty.fan,
                                        duty.pump};
  for (std::size_t i = 0; i < number.size(); ++i) {
    const auto place = static_cast<std::size_t>(setup_->duty[i]);
    const Row& row = *setup_->quantities[place].row;
    if (!(number[i] >= row.min && number[i] <= row.max)) {
      throw InputError(
          Problem{Code::bounds,
                  fmt::format("{} = {:.6g} is out of bounds", row.name, number[i]),
                  fmt::format("It must lie between {:.6g} and {:.6g} (SI).", row.min, row.max),
                  {}});
    }
    values[place] = number[i];
  }
}

std::vector<double> Model::typical(const Duty& duty) const {
  std::vector<double> values;
  for (const Quantity& q : setup_->quantities) values.push_back(q.range.typical);
  set_duty(duty, values);
  return values;
}

}  // namespace libloop
