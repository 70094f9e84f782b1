#include "libloop/model/cooler.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/text.hpp"
#include "libloop/part/catalogue.hpp"
#include "libloop/part/chip.hpp"
#include "libloop/part/fan.hpp"
#include "libloop/part/radiator.hpp"
#include "libloop/quantity/unit.hpp"

namespace libloop {
namespace {

[[noreturn]] void fail(Code code, std::string message, std::string suggestion = {}) {
  throw InputError(Problem{code, std::move(message), std::move(suggestion), {}});
}

// The sheet and row that a path names: "kind.row", "kind.name.row" or "kind.number.row".
// A kind that is a list and has no name in the path means all its entries.
struct Target {
  std::vector<Sheet*> sheets;
  std::string row;
};

bool starts_with(std::string_view path, std::string_view head) {
  return path.size() > head.size() && path.substr(0, head.size()) == head &&
         path[head.size()] == '.';
}

Target resolve(std::string_view path, const std::vector<Sheet*>& sheets) {
  Target target;
  std::string kind;
  // The longest kind counts: chip.die before chip.
  for (const Sheet* sheet : sheets) {
    const std::string& candidate = sheet->table().kind;
    if (starts_with(path, candidate) && candidate.size() > kind.size()) kind = candidate;
  }
  if (kind.empty()) return target;
  std::string rest(path.substr(kind.size() + 1));
  const std::size_t dot = rest.find('.');
  const std::string name = dot == std::string::npos ? "" : rest.substr(0, dot);
  if (dot != std::string::npos) rest = rest.substr(dot + 1);
  int number = 0;
  for (Sheet* sheet : sheets) {
    if (sheet->table().kind != kind) continue;
    ++number;
    if (name.empty() || sheet->name() == name || name == std::to_string(number)) {
      target.sheets.push_back(sheet);
    }
  }
  target.row = rest;
  return target;
}

std::vector<std::string> all_paths(const std::vector<const Sheet*>& sheets) {
  std::vector<std::string> paths;
  for (const Sheet* sheet : sheets) {
    for (const Row& row : sheet->table().rows) paths.push_back(sheet->path() + "." + row.name);
  }
  return paths;
}

void set_in(const std::vector<Sheet*>& sheets, const std::vector<const Sheet*>& known,
            std::string_view path, std::string_view value) {
  const Target target = resolve(path, sheets);
  if (target.sheets.empty()) {
    fail(Code::unknown, fmt::format("no quantity is called '{}'", path),
         text::did_you_mean(path, all_paths(known)));
  }
  for (Sheet* sheet : target.sheets) sheet->set(target.row, value);
}

bool has_kind(const std::vector<const Sheet*>& sheets, std::string_view path) {
  return std::any_of(sheets.begin(), sheets.end(),
                     [&](const Sheet* sheet) { return starts_with(path, sheet->table().kind); });
}

template <class Owner>
std::vector<Sheet*> changeable(Owner& owner) {
  std::vector<Sheet*> sheets;
  for (const Sheet* sheet : std::as_const(owner).sheets()) {
    sheets.push_back(const_cast<Sheet*>(sheet));  // NOLINT: owner is not const
  }
  return sheets;
}

void forbid_with_curve(const Sheet& sheet, const std::vector<std::string>& rows,
                       std::vector<Problem>& problems) {
  if (!sheet.given("curve")) return;
  for (const std::string& row : rows) {
    if (!sheet.given(row)) continue;
    problems.push_back({Code::conflict,
                        fmt::format("{} gives both curve and {}", sheet.path(), row),
                        "With a curve, leave the other figures out.",
                        {}});
  }
}

}  // namespace

Cooler::Cooler()
    : radiator(table_of("radiator")),
      pump(table_of("pump")),
      tube(table_of("tube")),
      cold_plate(table_of("cold_plate")),
      coolant(table_of("coolant")) {}

std::vector<const Sheet*> Cooler::sheets() const {
  std::vector<const Sheet*> all{&radiator};
  for (const Sheet& fan : fans) all.push_back(&fan);
  for (const Sheet* sheet : {&pump, &tube, &cold_plate, &coolant}) all.push_back(sheet);
  return all;
}

void Cooler::set(std::string_view path, std::string_view value) {
  set_in(changeable(*this), sheets(), path, value);
}

bool Cooler::has(std::string_view path) const { return has_kind(sheets(), path); }

std::vector<Problem> Cooler::problems() const {
  std::vector<Problem> problems;
  const auto add = [&](Code code, std::string message, std::string suggestion) {
    problems.push_back({code, std::move(message), std::move(suggestion), {}});
  };
  if (!radiator.given("class")) {
    add(Code::missing, "radiator.class is missing",
        "Write the size class: class = \"240\" (120, 140, 240, 280, 360 or 420).");
  }
  if (fans.empty()) {
    add(Code::missing, "the cooler has no fan",
        "Add [[fan]] with its count; a stopped fan is fan speed 0, not a missing one.");
  }
  const RadiatorClass& grid = radiator_classes[static_cast<std::size_t>(radiator.count("class"))];
  int count = 0;
  double length = 0.0;
  for (const Sheet& fan : fans) {
    const double size = fan.given("size") ? fan.typical("size") : grid.fan_size;
    if (size > grid.fan_size + 1e-9) {
      add(Code::conflict,
          fmt::format("{} is {} wide, the {} class takes {}", fan.path(), show(size, "mm"),
                      grid.word, show(grid.fan_size, "mm")),
          "Choose a smaller fan or another class.");
    }
    if (fan.choice("side") != fans.front().choice("side")) {
      add(Code::conflict, "some fans push and others pull",
          "Fans of one sealed loop all sit on one side.");
    }
    count += fan.count("count");
    length += fan.count("count") * size;
    forbid_with_curve(fan, {"free_flow", "static_pressure", "curve_shape", "stall_dip"}, problems);
  }
  if (length > grid.fans * grid.fan_size + 1e-9) {
    add(Code::conflict,
        fmt::format("{} fans need {} of length, the {} class has {}", count, show(length, "mm"),
                    grid.word, show(grid.fans * grid.fan_size, "mm")),
        "Lower the count or choose a longer class.");
  }
  forbid_with_curve(pump, {"free_flow", "shutoff_head", "curve_shape"}, problems);
  if (radiator.choice("pass_arrangement") == "behind" && radiator.count("passes") != 2) {
    add(Code::conflict,
        fmt::format("{} passes cannot lie behind each other here", radiator.count("passes")),
        "Passes behind each other are two; more go side by side.");
  }
  const auto check_allowance = [&](const char* outer, const char* inner, double least,
                                   const char* what) {
    if (radiator.given(outer) && radiator.given(inner) &&
        radiator.typical(outer) - radiator.typical(inner) < least) {
      add(Code::conflict,
          fmt::format("radiator.{} = {} leaves no room for {} = {}", outer,
                      show(radiator.typical(outer), "mm"), inner,
                      show(radiator.typical(inner), "mm")),
          what);
    }
  };
  check_allowance("length", "core_length", 0.006, "The outer length includes two tanks.");
  check_allowance("width", "core_width", 0.0, "The outer width includes the side plates.");
  check_allowance("thickness", "core_depth", 0.0, "The outer thickness includes the frame.");
  if (radiator.given("length") && !radiator.given("core_length") &&
      radiator.typical("length") < 1.02 * grid.fans * grid.fan_size + 0.006) {
    add(Code::conflict,
        fmt::format("radiator.length = {} is too short for the {} class",
                    show(radiator.typical("length"), "mm"), grid.word),
        "The outer length includes two tanks; check the class.");
  }
  if (radiator.typical("tube_thickness") < 2.2 * radiator.typical("tube_wall")) {
    add(Code::conflict, "radiator.tube_wall leaves no channel in tube_thickness",
        "A tube is thicker than its two walls.");
  }
  return problems;
}

Bench::Bench()
    : bench(table_of("bench")),
      chip(table_of("chip")),
      dies{Sheet(table_of("chip.die"))},
      paste(table_of("paste")),
      board(table_of("board")),
      surroundings(table_of("surroundings")),
      sensor(table_of("sensor")),
      law(table_of("law")) {}

std::vector<const Sheet*> Bench::sheets() const {
  std::vector<const Sheet*> all{&bench, &chip};
  for (const Sheet& die : dies) all.push_back(&die);
  for (const Sheet* sheet : {&paste, &board, &surroundings, &sensor, &law}) all.push_back(sheet);
  return all;
}

void Bench::set(std::string_view path, std::string_view value) {
  set_in(changeable(*this), sheets(), path, value);
}

bool Bench::has(std::string_view path) const { return has_kind(sheets(), path); }

std::vector<Problem> Bench::problems() const {
  std::vector<Problem> problems;
  if (dies.empty() || dies.size() > 8) {
    problems.push_back({Code::bounds,
                        fmt::format("the chip has {} dies", dies.size()),
                        "A chip has 1 to 8 dies.",
                        {}});
  }
  double share = 0.0;
  const double side = chip.typical("spreader_side");
  for (const Sheet& die : dies) {
    share += die.typical("power_share");
    const double half_x = std::abs(die.typical("x")) + 0.5 * die.typical("length");
    const double half_y = std::abs(die.typical("y")) + 0.5 * die.typical("width");
    if (half_x > 0.5 * side || half_y > 0.5 * side) {
      problems.push_back(
          {Code::conflict,
           fmt::format("{} reaches beyond the spreader of {}", die.path(), show(side, "mm")),
           "Places are from the middle of the spreader.",
           {}});
    }
  }
  if (!dies.empty() && share <= 0.0) {
    problems.push_back({Code::bounds,
                        "no die has a share of the power",
                        "At least one power_share must be above 0.",
                        {}});
  }
  for (std::size_t i = 0; i < dies.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      const auto gap = [&](const char* place, const char* size) {
        return std::abs(dies[i].typical(place) - dies[j].typical(place)) -
               0.5 * (dies[i].typical(size) + dies[j].typical(size));
      };
      if (gap("x", "length") < -1e-9 && gap("y", "width") < -1e-9) {
        problems.push_back({Code::conflict,
                            fmt::format("dies {} and {} overlap", j + 1, i + 1),
                            "Give each die its place x, y.",
                            {}});
      }
    }
  }
  return problems;
}

}  // namespace libloop
