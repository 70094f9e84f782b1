#include "libloop/model/model.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "libloop/base/text.hpp"
#include "libloop/model/build.hpp"
#include "libloop/model/paths.hpp"
#include "libloop/part/catalogue.hpp"

namespace libloop {
namespace {

constexpr std::array<std::string_view, 5> duty_rows = {"load", "ambient", "altitude", "fan",
                                                       "pump"};

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

void enlist_all(const std::vector<const Sheet*>& sheets, Model::Setup& setup) {
  const std::vector<std::string> paths = paths_of(sheets);
  for (std::size_t i = 0; i < sheets.size(); ++i) {
    const bool counted = sheets[i]->table().find("count") != nullptr;
    enlist(*sheets[i], paths[i], counted ? sheets[i]->count("count") : 1, setup);
  }
}

std::string chips_of(const Bench& bench) {
  std::vector<std::string> names;
  for (const Seat& seat : bench.seats) names.push_back("'" + seat.name() + "'");
  if (names.size() == 1) return "this bench has one chip: take one with a chip for each plate.";
  return "the bench has " + text::list(names) + ".";
}

// Which plate sits on which chip, in the order of the bench.
std::vector<Seated> seat_plates(const Cooler& cooler, const Bench& bench,
                                std::vector<Problem>& problems) {
  std::map<const Seat*, const Sheet*> taken;
  for (const Sheet* plate : cooler.all("cold_plate")) {
    const Seat* seat = seat_of(*plate, cooler, bench);
    if (seat == nullptr) {
      problems.push_back({Code::conflict,
                          fmt::format("{} sits on no chip of the bench", plate->path()),
                          "A plate sits on the chip of its own name; " + chips_of(bench),
                          {},
                          plate->path()});
      continue;
    }
    if (!taken.emplace(seat, plate).second) {
      problems.push_back(
          {Code::conflict,
           fmt::format("{} and {} sit on one chip", taken.at(seat)->path(), plate->path()),
           "Give each plate the name of its chip.",
           {},
           plate->path()});
    }
  }
  std::vector<Seated> seated;
  for (const Seat& seat : bench.seats) {
    const auto found = taken.find(&seat);
    if (found != taken.end()) seated.push_back({&seat, found->second});
  }
  return seated;
}

// The bench's sheets without the chips that carry no plate.
std::vector<const Sheet*> sheets_in_use(const Model::Setup& setup) {
  std::vector<const Sheet*> sheets;
  for (const Sheet* sheet : setup.bench.sheets()) {
    bool idle = false;
    for (const Seat& seat : setup.bench.seats) {
      const bool carries = std::any_of(setup.seated.begin(), setup.seated.end(),
                                       [&](const Seated& s) { return s.seat == &seat; });
      if (carries) continue;
      for (const Sheet* own : {&seat.chip, &seat.paste, &seat.board, &seat.sensor}) {
        idle = idle || own == sheet;
      }
      for (const Sheet& die : seat.dies) idle = idle || &die == sheet;
    }
    if (!idle) sheets.push_back(sheet);
  }
  return sheets;
}

}  // namespace

int Model::Setup::place(const Sheet& sheet, std::string_view row) const {
  const std::vector<int>& all = places.of.at(&sheet).front();
  const std::vector<std::size_t> rows = sheet.continuous();
  for (std::size_t i = 0; i < rows.size(); ++i) {
    if (sheet.table().rows[rows[i]].name == row) return all[i];
  }
  return -1;
}

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
  setup->seated = seat_plates(setup->cooler, setup->bench, problems);
  if (!problems.empty()) throw InputError(std::move(problems));
  enlist_all(setup->cooler.sheets(), *setup);
  enlist_all(sheets_in_use(*setup), *setup);
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
