#include "support/coolers.hpp"

#include <algorithm>
#include <random>

#include "libloop/files/read.hpp"
#include "libloop/part/catalogue.hpp"

namespace libloop::testing {
namespace {

std::vector<std::pair<std::string, Cooler>> examples() {
  std::vector<std::pair<std::string, Cooler>> all;
  for (const char* name :
       {"thin-240", "dense-280", "deep-360", "wide-420", "small-fans-280", "push-pull-280",
        "stacked-back-first", "stacked-front-first", "case-mesh"}) {
    all.emplace_back(name,
                     read_cooler(std::string(LIBLOOP_SOURCE) + "/examples/" + name + ".toml"));
  }
  return all;
}

Cooler variant(std::vector<std::pair<const char*, const char*>> settings, int fans = 1) {
  Cooler cooler;
  for (int i = 0; i < fans; ++i) cooler.add("fan");
  for (const auto& [path, value] : settings) cooler.set(path, value);
  return cooler;
}

}  // namespace

std::vector<Case> some_cases() {
  std::vector<Case> cases;
  const Bench one = generic_bench("one-large-die");
  for (const auto& [name, cooler] : examples()) cases.push_back({name, cooler, one});
  cases.push_back({"single fan, one pass, plain fins, water",
                   variant({{"radiator.class", "140"},
                            {"radiator.passes", "1"},
                            {"radiator.fin_kind", "plain"},
                            {"coolant.kind", "water"},
                            {"cold_plate.flow", "straight"}}),
                   generic_bench("small-dies")});
  cases.push_back({"four passes, two unlike fans",
                   variant({{"radiator.class", "240"},
                            {"radiator.passes", "4"},
                            {"fan.1.free_flow", "90 m3/h"},
                            {"fan.2.free_flow", "120 m3/h"}},
                           2),
                   generic_bench("thick-lid")});
  const std::string examples_folder = std::string(LIBLOOP_SOURCE) + "/examples/";
  cases.push_back({"custom-loop", read_cooler(examples_folder + "custom-loop.toml"),
                   read_bench(examples_folder + "bench-two-chips.toml")});
  Bench warming = generic_bench("copper-block");
  warming.set("surroundings.kind", "warming");
  warming.set("sensor.probe", "fixed");
  cases.push_back({"two of three fans in a warming room",
                   variant({{"radiator.class", "360"}, {"fan.count", "2"}, {"fan.side", "pull"}}),
                   warming});
  Bench reference = one;
  reference.set("bench.load_at", "reference");
  cases.push_back({"load at a reference temperature",
                   variant({{"radiator.class", "120"}, {"pump.curve_shape", "0.3"}}), reference});
  return cases;
}

std::vector<Case> all_cases() {
  std::vector<Case> cases = some_cases();
  std::vector<std::pair<std::string, Bench>> benches;
  for (const std::string& name : generic_benches()) benches.emplace_back(name, generic_bench(name));
  benches.emplace_back("bench-invented",
                       read_bench(std::string(LIBLOOP_SOURCE) + "/examples/bench-invented.toml"));
  for (const auto& [name, cooler] : examples()) {
    for (const auto& [bench_name, bench] : benches) {
      cases.push_back({name + " on " + bench_name, cooler, bench});
    }
  }
  return cases;
}

Case random_case(unsigned long long seed) {
  std::mt19937_64 random(seed);
  const auto pick = [&](std::size_t of) { return static_cast<std::size_t>(random() % of); };
  const auto word = [&](const Sheet& sheet, const char* row) {
    const std::vector<std::string>& words = sheet.table().find(row)->words;
    return words[pick(words.size())];
  };
  Case c;
  c.name = "random " + std::to_string(seed);
  Cooler& cooler = c.cooler;
  cooler.add("fan");
  Sheet& fan = cooler.the("fan");
  Sheet& radiator = cooler.the("radiator");
  radiator.set("class", word(radiator, "class"));
  const std::string size = radiator.choice("class");
  const int most = size[0] == '1' ? 1 : size[0] == '2' ? 2 : 3;
  fan.set_count("count", 1 + static_cast<int>(pick(static_cast<std::size_t>(most))));
  if (pick(4) == 0) fan.set("size", "110 mm");
  fan.set("side", word(fan, "side"));
  radiator.set("fin_kind", word(radiator, "fin_kind"));
  radiator.set_count("passes", 1 + static_cast<int>(pick(4)));
  if (radiator.count("passes") == 2) {
    radiator.set("pass_arrangement", word(radiator, "pass_arrangement"));
  }
  cooler.the("cold_plate").set("flow", word(cooler.the("cold_plate"), "flow"));
  cooler.the("coolant").set("kind", word(cooler.the("coolant"), "kind"));
  c.bench = generic_bench(generic_benches()[pick(generic_benches().size())]);
  c.bench.surroundings.set("kind", word(c.bench.surroundings, "kind"));
  c.bench.bench.set("load_at", word(c.bench.bench, "load_at"));
  return c;
}

Duty random_duty(unsigned long long seed) {
  std::mt19937_64 random(seed + 77);
  std::uniform_real_distribution<double> uniform;
  return {.load = 400.0 * uniform(random),
          .ambient = 283.15 + 25.0 * uniform(random),
          .altitude = 3000.0 * uniform(random),
          .fan = 1.2 * uniform(random),
          .pump = 1.2 * uniform(random)};
}

std::vector<double> draw(const Model& model, const Duty& duty, unsigned long long seed) {
  std::mt19937_64 random(seed);
  std::normal_distribution<double> normal;
  std::vector<double> values = model.typical(duty);
  for (std::size_t i = 0; i < values.size(); ++i) {
    const Quantity& q = model.quantities()[i];
    const double z = std::clamp(normal(random), -3.5, 3.5);
    if (q.range.exact()) continue;
    values[i] = Spread(q.range, q.row->transform, q.row->min, q.row->max).at(z);
  }
  return values;
}

}  // namespace libloop::testing
