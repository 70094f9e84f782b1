// Prints operating points of libloop, for peer.py beside it to find again by itself: one
// JSON object a line, with the choices, every quantity by name (SI) and the answers.
//
// usage: dump_case
//        dump_case --warmup CELLS DURATION [NAME...]   the warm-up from ambient as well, at a
//                                                      tight tolerance and one line a second,
//                                                      for warmup_peer.py; all cases, or some
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "libloop/math/sampling.hpp"
#include "libloop/model/model.hpp"
#include "libloop/model/paths.hpp"
#include "libloop/part/catalogue.hpp"
#include "libloop/quantity/range.hpp"
#include "libloop/warmup/warmup.hpp"

using namespace libloop;

namespace {

using Settings = std::vector<std::pair<std::string_view, std::string_view>>;

struct FanEntry {
  long long count;
  Settings settings;
  Points curve;  // m3/s, Pa
};

struct Case {
  std::string name;
  const char* size_class;
  long long passes;
  std::vector<FanEntry> fans;
  Settings settings = {};  // of cooler and bench
  const char* bench = "one-large-die";
  Duty duty = {};
  Points pump_curve = {};  // m3/s, m
  int draw = 0;            // above 0: values drawn from the ranges
};

// What is asked for in time.
struct Asked {
  int cells = usual_cells;
  double duration = 0.0;  // s
};

// ---- JSON

std::string quoted(std::string_view text) { return fmt::format("\"{}\"", text); }

template <class Items, class Show>
std::string list(const Items& items, Show show) {
  std::string out;
  for (const auto& item : items) out += (out.empty() ? "" : ", ") + show(item);
  return out;
}

std::string numbers(const std::vector<double>& values) {
  return fmt::format("[{}]", list(values, [](double v) { return fmt::format("{:.17g}", v); }));
}

std::string points(const Points& curve) {
  return fmt::format("[{}]", list(curve, [](const std::pair<double, double>& point) {
                       return fmt::format("[{:.17g}, {:.17g}]", point.first, point.second);
                     }));
}

std::string choices(const Cooler& cooler, const Bench& bench) {
  const auto choice = [](const Sheet& sheet, const char* row) {
    return fmt::format("{}: {}", quoted(sheet.path() + "." + row), quoted(sheet.choice(row)));
  };
  std::vector<std::string> all;
  for (const char* row : {"class", "fin_kind", "pass_arrangement"})
    all.push_back(choice(cooler.the("radiator"), row));
  all.push_back(fmt::format("\"radiator.passes\": {}", cooler.the("radiator").count("passes")));
  all.push_back(choice(cooler.the("cold_plate"), "flow"));
  all.push_back(choice(cooler.the("coolant"), "kind"));
  all.push_back(choice(bench.bench, "load_at"));
  all.push_back(choice(bench.surroundings, "kind"));
  all.push_back(choice(bench.seat().sensor, "reads"));
  all.push_back(choice(bench.seat().sensor, "probe"));
  return list(all, [](const std::string& item) { return item; });
}

std::string fan(const Sheet& sheet, const std::string& path) {
  return fmt::format(R"({{"path": {}, "count": {}, "side": {}, "size": {:.17g}, "curve": {}}})",
                     quoted(path), sheet.count("count"), quoted(sheet.choice("side")),
                     sheet.given("size") ? sheet.typical("size") : 0.0,
                     points(sheet.entry("curve").points));
}

std::string answers(const OperatingPoint& point) {
  std::string out;
  for (std::size_t i = 0; i < answer_count; ++i) {
    out +=
        fmt::format("{}{}: {:.17g}", i ? ", " : "", quoted(answer_rows[i].name), point.answer[i]);
  }
  return out;
}

std::string budget(const OperatingPoint& point) {
  std::string out;
  for (std::size_t i = 0; i < budget_rows.size(); ++i) {
    out += fmt::format("{}{}: {:.17g}", i ? ", " : "", quoted(budget_rows[i].key), point.budget[i]);
  }
  return out;
}

std::string warmup(const Model& model, const std::vector<double>& values, const Duty& duty,
                   const Asked& asked) {
  WarmupOptions options;
  options.tolerance = 1e-7;
  options.duration = asked.duration;
  const Trajectory run = Warmup(model).run_at(values, steady(duty), {}, options);
  std::vector<double> times, rise, coolant_rise;
  for (double t = 0.0; t <= run.end(); t += 1.0) {
    times.push_back(t);
    rise.push_back(run.at(Trace::rise, t));
    coolant_rise.push_back(run.at(Trace::coolant_rise, t));
  }
  return fmt::format(
      R"(, "followed": {}, "cells": {}, "duration": {:.17g}, "times": {}, "rise": {}, "coolant_rise": {})",
      run.summary().usable, asked.cells, asked.duration, numbers(times), numbers(rise),
      numbers(coolant_rise));
}

void print(const std::string& name, const Model& model, const std::vector<double>& values,
           const std::string& more) {
  Solver solver(model);
  const OperatingPoint point = solver.solve_at(values);
  const Cooler& cooler = model.cooler();
  std::vector<std::string> fans, dies, quantities;
  const std::vector<const Sheet*> rows = cooler.all("fan");
  const std::vector<std::string> paths = paths_of(rows);
  for (std::size_t i = 0; i < rows.size(); ++i) fans.push_back(fan(*rows[i], paths[i]));
  std::vector<const Sheet*> silicon;
  for (const Sheet& die : model.bench().seat().dies) silicon.push_back(&die);
  for (const std::string& path : paths_of(silicon)) dies.push_back(quoted(path));
  for (std::size_t i = 0; i < values.size(); ++i)
    quantities.push_back(fmt::format("{}: {:.17g}", quoted(model.quantities()[i].name), values[i]));
  const auto itself = [](const std::string& item) { return item; };
  std::string line = fmt::format(R"({{"name": {}, "usable": {}, "choices": {{{}}}, )", quoted(name),
                                 point.summary.usable, choices(cooler, model.bench()));
  line += fmt::format(R"("fans": [{}], "pump_curve": {}, "dies": [{}], )", list(fans, itself),
                      points(cooler.the("pump").entry("curve").points), list(dies, itself));
  line += fmt::format(R"("values": {{{}}}, "answer": {{{}}}, )", list(quantities, itself),
                      answers(point));
  line += fmt::format(R"("budget": {{{}}}, "hottest": {}{}}})", budget(point),
                      numbers(point.hottest), more);
  std::puts(line.c_str());
}

// ---- cases

// One random draw of every quantity: the first of a small Latin hypercube.
std::vector<double> drawn(const Model& model, const Duty& duty, int draw) {
  std::vector<double> values = model.typical(duty);
  for (std::size_t i = 0; i < values.size(); ++i) {
    const Quantity& q = model.quantities()[i];
    if (q.range.exact()) continue;
    const double z = latin_column(q.name, static_cast<unsigned long long>(draw), 8).front();
    values[i] = Spread(q.range, q.row->transform, q.row->min, q.row->max).at(z);
  }
  return values;
}

void run(const Case& c, const std::optional<Asked>& asked) {
  Cooler cooler;
  cooler.the("radiator").set("class", c.size_class);
  cooler.the("radiator").set_count("passes", c.passes);
  for (const FanEntry& entry : c.fans) {
    Sheet fan(table_of("fan"));
    fan.set_count("count", entry.count);
    for (const auto& [row, value] : entry.settings) fan.set(row, value);
    if (!entry.curve.empty()) fan.set_curve("curve", entry.curve);
    cooler.add(std::move(fan));
  }
  if (!c.pump_curve.empty()) cooler.the("pump").set_curve("curve", c.pump_curve);
  Bench bench = generic_bench(c.bench);
  for (const auto& [path, value] : c.settings) {
    if (cooler.has(path))
      cooler.set(path, value);
    else
      bench.set(path, value);
  }
  const Model model(cooler, bench, asked ? asked->cells : 1);
  const std::vector<double> values = c.draw ? drawn(model, c.duty, c.draw) : model.typical(c.duty);
  print(c.name, model, values, asked ? warmup(model, values, c.duty, *asked) : "");
}

const Points fan_points = {{0.0, 24.0}, {0.008, 19.5}, {0.016, 15.0}, {0.024, 9.0}, {0.031, 0.0}};
const Points fan_points_open_end = {{0.0, 26.0}, {0.010, 18.0}, {0.020, 11.0}, {0.026, 5.0}};
const Points pump_points = {{0.0, 1.3}, {1.5e-5, 1.15}, {3e-5, 0.8}, {4.5e-5, 0.3}, {5.2e-5, 0.0}};
const Points pump_points_open_end = {{0.0, 1.2}, {2e-5, 1.0}, {4e-5, 0.55}};

std::vector<Case> cases() {
  std::vector<Case> all;
  const auto fans = [](long long count, Settings settings = {}) {
    return std::vector<FanEntry>{{count, std::move(settings), {}}};
  };
  const auto add = [&](Case c) { all.push_back(std::move(c)); };

  // Every class, with passes beside each other.
  add({.name = "class 120", .size_class = "120", .passes = 2, .fans = fans(1)});
  add({.name = "class 140", .size_class = "140", .passes = 1, .fans = fans(1)});
  add({.name = "class 240", .size_class = "240", .passes = 2, .fans = fans(2)});
  add({.name = "class 280", .size_class = "280", .passes = 4, .fans = fans(2)});
  add({.name = "class 360", .size_class = "360", .passes = 2, .fans = fans(3)});
  add({.name = "class 420", .size_class = "420", .passes = 4, .fans = fans(3)});
  // Passes behind each other, plain fins, pulling fans.
  const Settings behind = {{"radiator.pass_arrangement", "behind"}};
  const Settings plain = {{"radiator.fin_kind", "plain"}};
  add({.name = "behind 360",
       .size_class = "360",
       .passes = 2,
       .fans = fans(3),
       .settings = behind});
  add({.name = "behind 240 pull",
       .size_class = "240",
       .passes = 2,
       .fans = fans(2, {{"side", "pull"}}),
       .settings = behind});
  add({.name = "behind 140 plain",
       .size_class = "140",
       .passes = 2,
       .fans = fans(1),
       .settings = {{"radiator.pass_arrangement", "behind"}, {"radiator.fin_kind", "plain"}}});
  add({.name = "plain 240", .size_class = "240", .passes = 2, .fans = fans(2), .settings = plain});
  add({.name = "plain 280 pull",
       .size_class = "280",
       .passes = 1,
       .fans = fans(2, {{"side", "pull"}}),
       .settings = plain});
  add({.name = "pull 360", .size_class = "360", .passes = 2, .fans = fans(3, {{"side", "pull"}})});
  // Fans smaller than the class, fewer fans, unlike fans.
  add({.name = "small fans push",
       .size_class = "280",
       .passes = 2,
       .fans = fans(2, {{"size", "120 mm"}})});
  add({.name = "small fans pull",
       .size_class = "280",
       .passes = 2,
       .fans = fans(2, {{"size", "120 mm"}, {"side", "pull"}})});
  add({.name = "small fans behind",
       .size_class = "280",
       .passes = 2,
       .fans = fans(2, {{"size", "120 mm"}}),
       .settings = behind});
  add({.name = "small fans four passes",
       .size_class = "420",
       .passes = 4,
       .fans = fans(3, {{"size", "120 mm"}, {"side", "pull"}})});
  add({.name = "one fan of two", .size_class = "240", .passes = 2, .fans = fans(1)});
  add({.name = "one fan of three behind",
       .size_class = "360",
       .passes = 2,
       .fans = fans(1),
       .settings = behind});
  add({.name = "unlike fans",
       .size_class = "360",
       .passes = 2,
       .fans = {{1, {{"free_flow", "90 m3/h"}, {"rated_speed", "1500 rpm"}}, {}},
                {2, {{"static_pressure", "28 Pa"}, {"noise", "35 dBA"}}, {}}}});
  add({.name = "unlike sizes",
       .size_class = "280",
       .passes = 2,
       .fans = {{1, {{"side", "pull"}}, {}},
                {1, {{"size", "120 mm"}, {"side", "pull"}, {"static_pressure", "27 Pa"}}, {}}}});
  // Coolants and plates.
  add({.name = "water",
       .size_class = "240",
       .passes = 2,
       .fans = fans(2),
       .settings = {{"coolant.kind", "water"}}});
  add({.name = "ethylene glycol",
       .size_class = "360",
       .passes = 2,
       .fans = fans(3),
       .settings = {{"coolant.kind", "ethylene_glycol"}, {"coolant.fraction", "0.4"}}});
  add({.name = "straight plate",
       .size_class = "240",
       .passes = 2,
       .fans = fans(2),
       .settings = {{"cold_plate.flow", "straight"}, {"coolant.fraction", "0.2"}}});
  add({.name = "straight plate, water",
       .size_class = "280",
       .passes = 4,
       .fans = fans(2),
       .settings = {{"cold_plate.flow", "straight"},
                    {"coolant.kind", "water"},
                    {"cold_plate.channel_gap", "0.4 mm"},
                    {"cold_plate.bypass", "0.3"}}});
  add({.name = "turbulent",
       .size_class = "420",
       .passes = 1,
       .fans = fans(3),
       .settings = {{"coolant.kind", "water"},
                    {"pump.shutoff_head", "6 m"},
                    {"pump.free_flow", "12 L/min"},
                    {"tube.bore", "9 mm"},
                    {"cold_plate.channel_gap", "0.5 mm"},
                    {"cold_plate.channel_height", "5 mm"}},
       .duty = {.load = 350}});
  // Benches.
  add({.name = "thick lid",
       .size_class = "240",
       .passes = 2,
       .fans = fans(2),
       .bench = "thick-lid",
       .duty = {.load = 200}});
  add({.name = "three dies",
       .size_class = "360",
       .passes = 2,
       .fans = fans(3),
       .bench = "small-dies",
       .duty = {.load = 180}});
  add({.name = "three dies, mean",
       .size_class = "280",
       .passes = 2,
       .fans = fans(2),
       .settings = {{"sensor.reads", "mean"},
                    {"sensor.offset", "0.7 K"},
                    {"sensor.probe_offset", "-0.3 K"}},
       .bench = "small-dies",
       .duty = {.load = 140}});
  add({.name = "copper block",
       .size_class = "360",
       .passes = 2,
       .fans = fans(3),
       .bench = "copper-block",
       .duty = {.load = 300}});
  add({.name = "warming",
       .size_class = "240",
       .passes = 2,
       .fans = fans(2),
       .settings = {{"surroundings.kind", "warming"}},
       .duty = {.load = 220}});
  add({.name = "warming, fixed probe, pull",
       .size_class = "240",
       .passes = 2,
       .fans = fans(2, {{"side", "pull"}}),
       .settings = {{"surroundings.kind", "warming"},
                    {"sensor.probe", "fixed"},
                    {"surroundings.conductance", "25 W/K"}}});
  add({.name = "reference load",
       .size_class = "280",
       .passes = 2,
       .fans = fans(2),
       .settings = {{"bench.load_at", "reference"}, {"chip.leakage_slope", "0.6 %"}},
       .duty = {.load = 200}});
  add({.name = "reference load, three dies",
       .size_class = "240",
       .passes = 2,
       .fans = fans(2),
       .settings = {{"bench.load_at", "reference"}},
       .bench = "small-dies"});
  add({.name = "paste with contact",
       .size_class = "120",
       .passes = 2,
       .fans = fans(1),
       .settings = {{"paste.contact", "8 mm2 K/W"},
                    {"paste.mount_factor", "1.4"},
                    {"law.spreading", "1.2"},
                    {"bench.power_factor", "0.95"}}});
  // Duties.
  add({.name = "high up",
       .size_class = "240",
       .passes = 2,
       .fans = fans(2),
       .duty = {.load = 150, .ambient = 288.15, .altitude = 2500}});
  add({.name = "slow fan and pump",
       .size_class = "360",
       .passes = 2,
       .fans = fans(3),
       .duty = {.load = 80, .fan = 0.3, .pump = 0.4}});
  add({.name = "slow fan",
       .size_class = "240",
       .passes = 2,
       .fans = fans(2),
       .duty = {.load = 120, .ambient = 303.15, .fan = 0.5}});
  add({.name = "slow pump, pull",
       .size_class = "420",
       .passes = 4,
       .fans = fans(3, {{"side", "pull"}}),
       .duty = {.load = 250, .fan = 0.7, .pump = 0.5}});
  add({.name = "slow and small, behind",
       .size_class = "280",
       .passes = 2,
       .fans = fans(2, {{"size", "120 mm"}, {"side", "pull"}}),
       .settings = behind,
       .duty = {.load = 100, .fan = 0.4, .pump = 0.6}});
  add({.name = "no load",
       .size_class = "240",
       .passes = 2,
       .fans = fans(2),
       .duty = {.load = 5, .ambient = 278.15}});
  // Curves by points.
  add({.name = "curves",
       .size_class = "240",
       .passes = 2,
       .fans = {{2, {}, fan_points}},
       .pump_curve = pump_points});
  add({.name = "curves with open ends",
       .size_class = "360",
       .passes = 2,
       .fans = {{3, {{"side", "pull"}}, fan_points_open_end}},
       .duty = {.fan = 0.8, .pump = 0.7},
       .pump_curve = pump_points_open_end});
  add({.name = "curves in thin air",
       .size_class = "280",
       .passes = 2,
       .fans = {{2, {{"flow_factor", "0.93"}, {"pressure_factor", "1.08"}}, fan_points_open_end}},
       .duty = {.load = 160, .altitude = 1600, .fan = 0.6},
       .pump_curve = pump_points});
  // At work between the last two points, where the rules for ends count, and beyond them.
  add({.name = "curves of three points",
       .size_class = "240",
       .passes = 2,
       .fans = {{2, {}, {{0.0, 24.0}, {0.008, 20.0}, {0.031, 0.0}}}},
       .pump_curve = {{0.0, 1.3}, {1e-5, 1.2}, {5.2e-5, 0.0}}});
  add({.name = "curves that end early",
       .size_class = "240",
       .passes = 2,
       .fans = {{2, {}, {{0.0, 26.0}, {0.006, 21.0}, {0.012, 17.0}}}},
       .pump_curve = {{0.0, 1.2}, {1e-5, 1.1}, {1.5e-5, 1.02}}});
  // Sizes given from outside, and of the core itself.
  add({.name = "outer sizes",
       .size_class = "240",
       .passes = 2,
       .fans = fans(2),
       .settings = {{"radiator.length", "276 mm"},
                    {"radiator.width", "121 mm"},
                    {"radiator.core_depth", "17 mm"},
                    {"coolant.volume", "180 mL"}}});
  add({.name = "core sizes",
       .size_class = "360",
       .passes = 2,
       .fans = fans(2),
       .settings = {{"radiator.core_length", "352 mm"},
                    {"radiator.core_width", "118 mm"},
                    {"radiator.fin_density", "12 fpi"},
                    {"radiator.fin_height", "6 mm"}}});

  // Drawn coolers: every quantity at random within its range.
  const char* classes[] = {"120", "140", "240", "280", "360", "420"};
  const long long counts[] = {1, 1, 2, 2, 3, 3};
  const char* benches[] = {"one-large-die", "small-dies", "thick-lid", "copper-block"};
  for (int draw = 1; draw <= 12; ++draw) {
    const auto k = static_cast<std::size_t>(draw);
    Settings settings;
    if (draw % 3 == 0) settings.push_back({"radiator.pass_arrangement", "behind"});
    if (draw % 4 == 0) settings.push_back({"radiator.fin_kind", "plain"});
    if (draw % 5 == 0) settings.push_back({"surroundings.kind", "warming"});
    if (draw % 6 == 1) settings.push_back({"coolant.kind", "ethylene_glycol"});
    Settings fan = {{"side", draw % 2 == 0 ? "pull" : "push"}};
    if (draw == 4 || draw == 10) fan.push_back({"size", "120 mm"});
    add({.name = fmt::format("drawn {}", draw),
         .size_class = classes[k % 6],
         .passes = draw % 3 == 0 ? 2 : 1 << (draw % 3),
         .fans = fans(counts[k % 6], fan),
         .settings = settings,
         .bench = benches[k % 4],
         .duty = {.load = 60.0 + 20.0 * draw,
                  .ambient = 293.15 + draw,
                  .fan = 0.4 + 0.05 * draw,
                  .pump = 1.0 - 0.04 * draw},
         .draw = draw});
  }
  return all;
}

}  // namespace

int main(int count, char** words) {
  const std::span<char*> arguments(words, static_cast<std::size_t>(count));
  std::optional<Asked> asked;
  std::vector<std::string> names;
  if (count >= 4 && std::string_view(arguments[1]) == "--warmup") {
    asked = Asked{std::atoi(arguments[2]), std::atof(arguments[3])};
    names.assign(arguments.begin() + 4, arguments.end());
  }
  if ((count > 1 && !asked) || (asked && (asked->cells < 1 || !(asked->duration > 0.0)))) {
    std::fputs("usage: dump_case [--warmup CELLS DURATION [NAME...]]\n", stderr);
    return 2;
  }
  for (const Case& c : cases()) {
    if (!names.empty() && std::find(names.begin(), names.end(), c.name) == names.end()) continue;
    try {
      run(c, asked);
    } catch (const InputError& error) {
      std::fprintf(stderr, "%s: %s\n", c.name.c_str(), error.what());
      return 1;
    }
  }
}
