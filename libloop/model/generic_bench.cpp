// The benches that come with the library. All are typical and nobody's: sizes are round
// numbers of our own, and what is not set here keeps its range.
#include <fmt/format.h>

#include <utility>
#include <vector>

#include "libloop/base/text.hpp"
#include "libloop/model/cooler.hpp"
#include "libloop/part/catalogue.hpp"

namespace libloop {
namespace {

using Settings = std::vector<std::pair<const char*, const char*>>;

struct Generic {
  const char* name;
  const char* title;
  Settings settings;
  std::vector<Settings> dies;  // empty: one die with its ranges
};

const std::vector<Generic>& all() {
  static const std::vector<Generic> benches = {
      {"one-large-die", "one large die under a lid (typical, nobody's)", {}, {}},
      {"thick-lid",
       "one large die under a thick lid (typical, nobody's)",
       {{"chip.spreader_thickness", "3.6 mm"}, {"chip.spreader_side", "36 mm"}},
       {{{"length", "22 mm"}, {"width", "12 mm"}, {"thickness", "0.6 mm"}}}},
      {"small-dies",
       "two small dies off centre beside a third (typical, nobody's)",
       {{"chip.spreader_thickness", "2.8 mm"}, {"chip.spreader_side", "36 mm"}},
       {{{"name", "left"},
         {"length", "8 mm"},
         {"width", "9 mm"},
         {"thickness", "0.6 mm"},
         {"x", "-6 mm"},
         {"y", "-7 mm"},
         {"power_share", "0.4"}},
        {{"name", "right"},
         {"length", "8 mm"},
         {"width", "9 mm"},
         {"thickness", "0.6 mm"},
         {"x", "6 mm"},
         {"y", "-7 mm"},
         {"power_share", "0.4"}},
        {{"name", "hub"},
         {"length", "12 mm"},
         {"width", "10 mm"},
         {"thickness", "0.6 mm"},
         {"x", "0 mm"},
         {"y", "6 mm"},
         {"power_share", "0.2"}}}},
      {"copper-block",
       "a heated copper block with one thermometer near its face (typical, nobody's)",
       {{"chip.active_share", "1"},
        {"chip.silicon_conductivity", "385 W/(m K)"},
        {"chip.solder_thickness", "0.01 mm"},
        {"chip.solder_conductivity", "385 W/(m K)"},
        {"chip.spreader_thickness", "12 mm"},
        {"chip.spreader_side", "34 mm"},
        {"chip.spreader_conductivity", "385 W/(m K)"},
        {"chip.leakage_slope", "0 %"},
        {"chip.limit", "110 C"},
        {"board.own_heat", "0"},
        {"sensor.reads", "mean"}},
       {{{"length", "26 mm"}, {"width", "26 mm"}, {"thickness", "2 mm"}}}},
  };
  return benches;
}

Bench make(const Generic& generic) {
  Bench bench;
  bench.title = generic.title;
  bench.notes = "comes with libloop; what is not stated keeps its range";
  for (const auto& [path, value] : generic.settings) bench.set(path, value);
  if (!generic.dies.empty()) bench.seat().dies.clear();
  for (const Settings& settings : generic.dies) {
    std::string name;
    if (std::string_view(settings.front().first) == "name") name = settings.front().second;
    Sheet die(table_of("chip.die"), name);
    for (const auto& [row, value] : settings) {
      if (std::string_view(row) != "name") die.set(row, value);
    }
    bench.seat().dies.push_back(std::move(die));
  }
  return bench;
}

}  // namespace

std::vector<std::string> generic_benches() {
  std::vector<std::string> names;
  for (const Generic& generic : all()) names.emplace_back(generic.name);
  return names;
}

Bench generic_bench(std::string_view name) {
  for (const Generic& generic : all()) {
    if (generic.name == name) return make(generic);
  }
  const std::vector<std::string> names = generic_benches();
  std::string hint = text::did_you_mean(name, names);
  if (hint.empty()) hint = "There are " + text::list(names) + ".";
  throw InputError(Problem{Code::unknown, fmt::format("no bench is called '{}'", name), hint, {}});
}

}  // namespace libloop
