// Ways of the air through parts, from place to place.
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "libloop/base/text.hpp"
#include "libloop/model/half_wiring.hpp"
#include "libloop/model/paths.hpp"
#include "libloop/network/graph.hpp"

namespace libloop {
namespace {

const std::set<std::string> air_kinds = {"fan", "radiator", "opening", "shroud"};

class AirWiring : HalfWiring {
 public:
  using HalfWiring::HalfWiring;

  void run(bool as_usual) {
    if (as_usual) need_plain_air();
    list_parts();
    if (as_usual && !wiring_.problems.empty()) return;
    wire();
    if (!as_usual) check_sides();
    if (wiring_.problems.empty()) check();
  }

 private:
  void list_parts() {
    const std::vector<const Sheet*> sheets = cooler_.sheets();
    const std::vector<std::string> paths = paths_of(sheets);
    for (std::size_t i = 0; i < sheets.size(); ++i) {
      const std::string& kind = sheets[i]->table().kind;
      if (air_kinds.count(kind) > 0) air_parts_[paths[i]] = sheets[i];
      if (kind == "case") cases_[paths[i]] = sheets[i];
    }
  }

  void need_plain_air() {
    for (const char* kind : {"opening", "shroud", "case"}) refuse(kind);
    if (cooler_.all("fan").empty()) {
      fail(Code::missing, "the cooler has no fan",
           "Add [[fan]] with its count; a stopped fan is fan speed 0, not a missing one.");
    }
  }

  int air_place(const std::string& word, const std::string& about) {
    for (std::size_t i = 0; i < wiring_.air_places.size(); ++i) {
      if (wiring_.air_places[i].name == word) return static_cast<int>(i);
    }
    const auto found = cases_.find(word);
    if (air_parts_.count(word) > 0) {
      fail(Code::unknown, fmt::format("'{}' is a part, not a place of the air", word),
           "Parts stand in `through`; `from` and `to` are places.", about);
    } else if (found == cases_.end() && word.find('.') != std::string::npos) {
      std::vector<std::string> known{"outside"};
      for (const auto& [path, sheet] : cases_) known.push_back(path);
      std::string hint = text::did_you_mean(word, known);
      if (hint.empty()) hint = "Air runs between 'outside', a case and places of your own naming.";
      fail(Code::unknown, fmt::format("'{}' is no place of the air", word), hint, about);
    }
    if (word == "case" && cases_.empty()) {
      fail(Code::missing, "air goes by 'case', but the file has no [case]",
           "Add [case] with its own_heat and walls, or call the place otherwise.", about);
    }
    wiring_.air_places.push_back({word, found == cases_.end() ? nullptr : found->second});
    return static_cast<int>(wiring_.air_places.size()) - 1;
  }

  void wire() {
    wiring_.air_places.push_back({"outside", nullptr});
    for (std::size_t i = 0; i < network_.air.size(); ++i) {
      const AirPath& path = network_.air[i];
      const std::string about = fmt::format("network.air.{}", i + 1);
      AirRun run;
      run.from = air_place(path.from, about + ".from");
      run.to = air_place(path.to, about + ".to");
      if (path.through.empty()) {
        fail(Code::missing, "an air path leads through nothing",
             "Name fans, radiators or openings in `through`.", about);
      }
      for (std::size_t t = 0; t < path.through.size(); ++t) {
        std::vector<const Sheet*> item =
            air_item(path.through[t], fmt::format("{}.through.{}", about, t + 1), about);
        if (!item.empty()) run.items.push_back(std::move(item));
      }
      check_shrouds(run, about);
      wiring_.air.push_back(std::move(run));
    }
    check_passed();
  }

  // Parts side by side in one path.
  std::vector<const Sheet*> air_item(const std::vector<std::string>& words,
                                     const std::string& about, const std::string& path) {
    std::vector<const Sheet*> item;
    for (const std::string& word : words) {
      const auto found = air_parts_.find(word);
      if (found == air_parts_.end()) {
        misnamed_ = true;
        std::vector<std::string> known;
        for (const auto& [name, sheet] : air_parts_) known.push_back(name);
        std::string hint = text::did_you_mean(word, known);
        if (hint.empty()) hint = "Air passes " + text::list(known) + ".";
        fail(Code::unknown, fmt::format("no part that air passes is called '{}'", word), hint,
             about);
        continue;
      }
      if (++passed_[word] == 2) {
        fail(Code::duplicate, fmt::format("air passes {} twice", word),
             "Each part has one place in the air; give a second part its own table.", path);
      }
      item.push_back(found->second);
    }
    const bool only_fans = std::all_of(
        item.begin(), item.end(), [](const Sheet* part) { return part->table().kind == "fan"; });
    if (item.size() > 1 && !only_fans) {
      fail(Code::conflict, "only fans can stand side by side in one air path",
           "Give radiators that stand side by side a path each.", path);
    }
    return item;
  }

  // A part that no path names is forgotten, unless some name was not understood.
  void check_passed() {
    for (const auto& [path, sheet] : air_parts_) {
      if (misnamed_ || passed_[path] > 0) continue;
      fail(Code::missing, fmt::format("no air path leads through {}", path),
           "Name it in the `through` of a [[network.air]] entry.", path);
    }
  }

  void check_sides() {
    for (const auto& [path, sheet] : air_parts_) {
      if (sheet->table().kind != "fan" || !sheet->given("side")) continue;
      fail(Code::conflict, fmt::format("{} gives a side", path),
           "In a network its place before or behind a radiator says whether it pushes or pulls.",
           path + ".side");
    }
  }

  void check_shrouds(const AirRun& run, const std::string& about) {
    const auto kind = [&](std::size_t i) {
      return i < run.items.size() ? run.items[i].front()->table().kind : std::string();
    };
    for (std::size_t i = 0; i < run.items.size(); ++i) {
      if (kind(i) != "shroud") continue;
      const std::string before = i > 0 ? kind(i - 1) : std::string(), behind = kind(i + 1);
      const bool fits =
          (before == "fan" && behind == "radiator") || (before == "radiator" && behind == "fan");
      if (fits) continue;
      fail(Code::conflict,
           fmt::format("{} is not between fans and a radiator",
                       path_of(cooler_, *run.items[i].front())),
           "A shroud joins fans to a core.", about);
    }
  }

  // Air that enters a place must be able to leave it another way, or none comes in: every
  // place lies on a ring with the outside.
  void check() {
    std::vector<network::Edge> edges;
    for (const AirRun& run : wiring_.air) edges.push_back({run.from, run.to});
    const int places = static_cast<int>(wiring_.air_places.size());
    const std::vector<bool> bridge = network::blocks(places, edges).bridge;
    const auto reached = [&](bool over_bridges) {
      std::vector<bool> seen(wiring_.air_places.size(), false);
      seen[0] = true;
      for (int round = 0; round < places; ++round) {
        for (std::size_t e = 0; e < edges.size(); ++e) {
          const auto from = static_cast<std::size_t>(edges[e].from);
          const auto to = static_cast<std::size_t>(edges[e].to);
          if (bridge[e] && !over_bridges) continue;
          if (seen[from] || seen[to]) seen[from] = seen[to] = true;
        }
      }
      return seen;
    };
    const std::vector<bool> anyhow = reached(true), round = reached(false);
    for (std::size_t i = 1; i < round.size(); ++i) {
      const std::string& name = wiring_.air_places[i].name;
      if (!anyhow[i]) {
        fail(Code::conflict,
             fmt::format("air of '{}' never meets the outside: its heat could not leave", name),
             "Lead a path from or to outside, if only through an opening.", "network");
      } else if (!round[i]) {
        fail(Code::conflict,
             fmt::format("air cannot pass '{}': only one way joins it to the outside", name),
             "Lead a second path from or to it, if only through an opening.", "network");
      }
    }
  }

  std::map<std::string, const Sheet*> air_parts_, cases_;
  std::map<std::string, int> passed_;  // by how many paths
  bool misnamed_ = false;
};

}  // namespace

void wire_air(const Cooler& cooler, const Network& network, bool as_usual, Wiring& wiring) {
  AirWiring(cooler, network, wiring).run(as_usual);
}

}  // namespace libloop
