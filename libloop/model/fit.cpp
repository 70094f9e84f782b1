#include "libloop/model/fit.hpp"

#include <fmt/format.h>

#include <cmath>
#include <string>

#include "libloop/model/paths.hpp"
#include "libloop/part/chip.hpp"
#include "libloop/part/radiator.hpp"
#include "libloop/quantity/unit.hpp"

namespace libloop {
namespace {

constexpr double sliver = 1e-9;  // m

// Collects problems about one part.
class Misfits {
 public:
  explicit Misfits(std::vector<Problem>& all) : all_(all) {}

  void add(Code code, std::string message, std::string suggestion, std::string about) {
    all_.push_back({code, std::move(message), std::move(suggestion), {}, std::move(about)});
  }

  void forbid_with_curve(const Sheet& sheet, const std::string& path,
                         const std::vector<std::string>& rows) {
    if (!sheet.given("curve")) return;
    for (const std::string& row : rows) {
      if (!sheet.given(row)) continue;
      add(Code::conflict, fmt::format("{} gives both curve and {}", path, row),
          "With a curve, leave the other figures out.", path + "." + row);
    }
  }

 private:
  std::vector<Problem>& all_;
};

const RadiatorClass& grid_of(const Sheet& radiator) {
  return radiator_classes[static_cast<std::size_t>(radiator.count("class"))];
}

void check_radiator(const Sheet& radiator, const std::string& path, Misfits& misfits) {
  const auto row = [&](const char* name) { return path + "." + name; };
  if (!radiator.given("class")) {
    misfits.add(Code::missing, row("class") + " is missing",
                "Write the size class: class = \"240\" (120, 140, 240, 280, 360 or 420).",
                row("class"));
  }
  const RadiatorClass& grid = grid_of(radiator);
  if (radiator.choice("pass_arrangement") == "behind" && radiator.count("passes") != 2) {
    misfits.add(
        Code::conflict,
        fmt::format("{} passes cannot lie behind each other here", radiator.count("passes")),
        "Passes behind each other are two; more go side by side.", row("passes"));
  }
  const auto allowance = [&](const char* outer, const char* inner, double least, const char* what) {
    if (!radiator.given(outer) || !radiator.given(inner) ||
        radiator.typical(outer) - radiator.typical(inner) >= least) {
      return;
    }
    misfits.add(Code::conflict,
                fmt::format("{} = {} leaves no room for {} = {}", row(outer),
                            show(radiator.typical(outer), "mm"), inner,
                            show(radiator.typical(inner), "mm")),
                what, row(inner));
  };
  allowance("length", "core_length", 0.006, "The outer length includes two tanks.");
  allowance("width", "core_width", 0.0, "The outer width includes the side plates.");
  allowance("thickness", "core_depth", 0.0, "The outer thickness includes the frame.");
  if (radiator.given("length") && !radiator.given("core_length") &&
      radiator.typical("length") < 1.02 * grid.fans * grid.fan_size + 0.006) {
    misfits.add(Code::conflict,
                fmt::format("{} = {} is too short for the {} class", row("length"),
                            show(radiator.typical("length"), "mm"), grid.word),
                "The outer length includes two tanks; check the class.", row("length"));
  }
  if (radiator.typical("tube_thickness") < 2.2 * radiator.typical("tube_wall")) {
    misfits.add(Code::conflict, row("tube_wall") + " leaves no channel in tube_thickness",
                "A tube is thicker than its two walls.", row("tube_wall"));
  }
}

// In a sealed loop all fans sit on the one radiator, on one side or on both.
void check_seating(const Cooler& cooler, const std::vector<std::string>& paths, Misfits& misfits) {
  const RadiatorClass& grid = grid_of(cooler.the("radiator"));
  for (const char* side : {"push", "pull"}) {
    int count = 0;
    double length = 0.0;
    std::string last;
    for (std::size_t i = 0; i < cooler.parts.size(); ++i) {
      const Sheet& fan = cooler.parts[i];
      if (fan.table().kind != "fan" || fan.choice("side") != side) continue;
      const double size = fan.given("size") ? fan.typical("size") : grid.fan_size;
      if (size > grid.fan_size + sliver) {
        misfits.add(Code::conflict,
                    fmt::format("{} is {} wide, the {} class takes {}", paths[i], show(size, "mm"),
                                grid.word, show(grid.fan_size, "mm")),
                    "Choose a smaller fan or another class.", paths[i] + ".size");
      }
      count += fan.count("count");
      length += fan.count("count") * size;
      last = paths[i];
    }
    if (length > grid.fans * grid.fan_size + sliver) {
      misfits.add(Code::conflict,
                  fmt::format("{} fans need {} of length, the {} class has {}", count,
                              show(length, "mm"), grid.word, show(grid.fans * grid.fan_size, "mm")),
                  "Lower the count or choose a longer class.", last + ".count");
    }
  }
}

void check_seat(const Seat& seat, Misfits& misfits) {
  const std::string chip = seat.chip.path();
  if (seat.dies.empty() || seat.dies.size() > 8) {
    misfits.add(Code::bounds, fmt::format("{} has {} dies", chip, seat.dies.size()),
                "A chip has 1 to 8 dies.", chip);
  }
  double share = 0.0;
  const double side = seat.chip.typical("spreader_side");
  std::vector<const Sheet*> dies;
  for (const Sheet& die : seat.dies) dies.push_back(&die);
  const std::vector<std::string> paths = paths_of(dies);
  for (std::size_t i = 0; i < dies.size(); ++i) {
    const Sheet& die = *dies[i];
    share += die.typical("power_share");
    const double half_x = std::abs(die.typical("x")) + 0.5 * die.typical("length");
    const double half_y = std::abs(die.typical("y")) + 0.5 * die.typical("width");
    if (half_x > 0.5 * side || half_y > 0.5 * side) {
      misfits.add(Code::conflict,
                  fmt::format("{} reaches beyond the spreader of {}", paths[i], show(side, "mm")),
                  "Places are from the middle of the spreader.", paths[i]);
    }
    for (std::size_t j = 0; j < i; ++j) {
      const auto gap = [&](const char* place, const char* size) {
        return std::abs(die.typical(place) - dies[j]->typical(place)) -
               0.5 * (die.typical(size) + dies[j]->typical(size));
      };
      if (gap("x", "length") < -sliver && gap("y", "width") < -sliver) {
        misfits.add(Code::conflict, fmt::format("dies {} and {} overlap", j + 1, i + 1),
                    "Give each die its place x, y.", paths[i]);
      }
    }
  }
  if (!dies.empty() && share <= 0.0) {
    misfits.add(Code::bounds, "no die has a share of the power",
                "At least one power_share must be above 0.", chip);
  }
}

}  // namespace

std::vector<Problem> misfits(const Cooler& cooler) {
  std::vector<Problem> problems;
  Misfits misfits(problems);
  const std::vector<std::string> paths = paths_of(cooler.sheets());
  for (std::size_t i = 0; i < cooler.parts.size(); ++i) {
    const Sheet& part = cooler.parts[i];
    const std::string& kind = part.table().kind;
    if (kind == "radiator") check_radiator(part, paths[i], misfits);
    if (kind == "fan") {
      misfits.forbid_with_curve(part, paths[i],
                                {"free_flow", "static_pressure", "curve_shape", "stall_dip"});
    }
    if (kind == "pump") {
      misfits.forbid_with_curve(part, paths[i], {"free_flow", "shutoff_head", "curve_shape"});
    }
  }
  if (!cooler.network.join.empty() && cooler.the("coolant").given("volume")) {
    misfits.add(Code::conflict, "coolant.volume belongs to a sealed loop",
                "In a network volumes come from the parts; give coolant.reserve instead.",
                "coolant.volume");
  }
  if (cooler.network.empty() && !cooler.all("radiator").empty()) {
    check_seating(cooler, paths, misfits);
  }
  return problems;
}

std::vector<Problem> misfits(const Bench& bench) {
  std::vector<Problem> problems;
  Misfits misfits(problems);
  if (bench.seats.empty()) misfits.add(Code::missing, "the bench has no chip", "Add [chip].", "");
  for (const Seat& seat : bench.seats) check_seat(seat, misfits);
  return problems;
}

}  // namespace libloop
