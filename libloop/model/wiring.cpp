#include "libloop/model/wiring.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <numeric>
#include <set>

#include "libloop/base/text.hpp"
#include "libloop/model/paths.hpp"

namespace libloop {
namespace {

const std::set<std::string> coolant_kinds = {"radiator",   "pump",      "tube",
                                             "cold_plate", "reservoir", "fitting"};
const std::set<std::string> air_kinds = {"fan", "radiator", "opening", "shroud"};

std::string path_of(const Cooler& cooler, const Sheet& sheet) {
  const std::vector<const Sheet*> sheets = cooler.sheets();
  const std::vector<std::string> paths = paths_of(sheets);
  for (std::size_t i = 0; i < sheets.size(); ++i) {
    if (sheets[i] == &sheet) return paths[i];
  }
  return sheet.path();
}

// Words that meet, in groups: the classes of "is joined to".
class Groups {
 public:
  int of(const std::string& word) {
    const auto [place, fresh] = index_.emplace(word, static_cast<int>(parent_.size()));
    if (fresh) parent_.push_back(place->second);
    return root(place->second);
  }
  void join(const std::string& a, const std::string& b) {
    const int x = of(a), y = of(b);
    parent_[at(std::max(x, y))] = std::min(x, y);
  }

 private:
  static std::size_t at(int i) { return static_cast<std::size_t>(i); }
  int root(int i) const {
    while (parent_[at(i)] != i) i = parent_[at(i)];
    return i;
  }
  std::map<std::string, int> index_;
  std::vector<int> parent_;
};

class Wirer {
 public:
  explicit Wirer(const Cooler& cooler)
      : cooler_(cooler),
        ring_(cooler.network.join.empty()),
        sealed_(cooler.network.empty()),
        network_(cooler.network) {
    const Network usual = sealed_loop(cooler);
    if (ring_) network_.join = usual.join;
    if (sealed_) network_.air = usual.air;
  }

  Wiring whole() {
    list_parts();
    if (!wiring_.problems.empty()) return std::move(wiring_);
    wire_coolant();
    if (wiring_.problems.empty()) check_coolant();
    wire_air();
    if (wiring_.problems.empty()) check_air();
    return std::move(wiring_);
  }

 private:
  void fail(Code code, std::string message, std::string suggestion, std::string about = {}) {
    wiring_.problems.push_back(
        {code, std::move(message), std::move(suggestion), {}, std::move(about)});
  }

  // ---- coolant

  // An entry of tubes with a count stands for that many; the sealed loop has two alike.
  int copies(const Sheet& sheet) const {
    if (sheet.table().kind != "tube") return 1;
    return ring_ ? 2 : sheet.count("count");
  }

  void list_parts() {
    const std::vector<const Sheet*> sheets = cooler_.sheets();
    const std::vector<std::string> paths = paths_of(sheets);
    for (std::size_t i = 0; i < sheets.size(); ++i) {
      const std::string& kind = sheets[i]->table().kind;
      if (air_kinds.count(kind) > 0) air_parts_[paths[i]] = sheets[i];
      if (kind == "case") cases_[paths[i]] = sheets[i];
      if (coolant_kinds.count(kind) == 0) continue;
      const int count = copies(*sheets[i]);
      for (int copy = 1; copy <= count; ++copy) {
        wiring_.coolant.push_back(
            {sheets[i], count > 1 ? fmt::format("{}.{}", paths[i], copy) : paths[i]});
      }
    }
    if (ring_) need_one_of_each();
    if (sealed_) need_plain_air();
  }

  void need_one_of_each() {
    for (const char* kind : {"radiator", "pump", "tube", "cold_plate"}) {
      const std::vector<const Sheet*> parts = cooler_.all(kind);
      if (parts.size() == 1) continue;
      const std::string about = parts.size() > 1 ? path_of(cooler_, *parts[1]) : std::string();
      fail(Code::conflict, fmt::format("this cooler has {} of {}", parts.size(), kind),
           "A sealed loop has one; any other loop says how its parts are joined: add [network].",
           about);
    }
    for (const char* kind : {"reservoir", "fitting"}) refuse(kind);
  }

  void refuse(const char* kind) {
    if (cooler_.all(kind).empty()) return;
    const std::string path = path_of(cooler_, *cooler_.all(kind).front());
    fail(Code::conflict, fmt::format("{} has no place in a sealed loop", path),
         "Say how the parts are joined: add [network].", path);
  }

  void need_plain_air() {
    for (const char* kind : {"opening", "shroud", "case"}) refuse(kind);
    if (cooler_.all("fan").empty()) {
      fail(Code::missing, "the cooler has no fan",
           "Add [[fan]] with its count; a stopped fan is fan speed 0, not a missing one.");
    }
  }

  bool is_port(const std::string& word) const {
    return std::any_of(wiring_.coolant.begin(), wiring_.coolant.end(),
                       [&](const CoolantPart& part) {
                         return word == part.name + ".in" || word == part.name + ".out";
                       });
  }

  std::vector<std::string> ports() const {
    std::vector<std::string> all;
    for (const CoolantPart& part : wiring_.coolant) {
      all.push_back(part.name + ".in");
      all.push_back(part.name + ".out");
    }
    return all;
  }

  void check_word(const std::string& word, const std::string& about) {
    if (is_port(word)) return;
    if (word.find('.') == std::string::npos) {
      const bool part = std::any_of(wiring_.coolant.begin(), wiring_.coolant.end(),
                                    [&](const CoolantPart& p) { return p.name == word; });
      if (part) {
        fail(Code::unknown, fmt::format("'{}' is a part, not one of its ports", word),
             fmt::format("Write '{0}.in' or '{0}.out'.", word), about);
      }
      return;  // a place of its own
    }
    std::string hint = text::did_you_mean(word, ports());
    if (hint.empty()) hint = "Ports are named after parts: 'pump.in', 'radiator.top.out'.";
    fail(Code::unknown, fmt::format("no part has a port called '{}'", word), hint, about);
  }

  void wire_coolant() {
    Groups groups;
    std::map<std::string, int> named;  // how often each word stands in a join
    for (std::size_t i = 0; i < network_.join.size(); ++i) {
      const std::vector<std::string>& join = network_.join[i];
      const std::string about = fmt::format("network.join.{}", i + 1);
      if (join.size() < 2) {
        fail(Code::missing, "a join of one port joins nothing", "Name at least two ports.", about);
      }
      for (std::size_t w = 0; w < join.size(); ++w) {
        check_word(join[w], fmt::format("{}.{}", about, w + 1));
        groups.join(join.front(), join[w]);
        ++named[join[w]];
      }
    }
    if (!wiring_.problems.empty()) return;
    std::map<int, int> places;  // group -> place
    const auto place = [&](const std::string& word) {
      const auto [found, fresh] =
          places.emplace(groups.of(word), static_cast<int>(wiring_.coolant_places.size()));
      if (fresh) wiring_.coolant_places.push_back(word);
      return found->second;
    };
    for (CoolantPart& part : wiring_.coolant) {
      for (const char* port : {".in", ".out"}) {
        if (named[part.name + port] > 0) continue;
        fail(Code::missing, fmt::format("{}{} is joined to nothing", part.name, port),
             "Name it in a join; a port that is plugged belongs to no loop.", part.name);
      }
      part.from = place(part.name + ".in");
      part.to = place(part.name + ".out");
    }
    check_meetings(groups);
    // A place keeps the word that its user gave it.
    for (const auto& [word, count] : named) {
      if (word.find('.') == std::string::npos) {
        wiring_.coolant_places[static_cast<std::size_t>(place(word))] = word;
      }
    }
  }

  // At a place with one port coolant has no way on.
  void check_meetings(Groups& groups) {
    std::map<int, int> ports_at;
    for (const CoolantPart& part : wiring_.coolant) {
      ++ports_at[groups.of(part.name + ".in")];
      ++ports_at[groups.of(part.name + ".out")];
    }
    for (std::size_t i = 0; i < network_.join.size(); ++i) {
      for (std::size_t w = 0; w < network_.join[i].size(); ++w) {
        const std::string& word = network_.join[i][w];
        if (!is_port(word) || ports_at[groups.of(word)] != 1) continue;
        fail(Code::conflict, fmt::format("{} meets no other port: a dead end", word),
             "Join it to another part's port; a place of your own needs two ports at least.",
             fmt::format("network.join.{}.{}", i + 1, w + 1));
      }
    }
  }

  void check_coolant() {
    std::vector<std::string> pumps;
    for (const CoolantPart& part : wiring_.coolant) {
      if (part.sheet->table().kind == "pump") pumps.push_back(part.name);
      if (part.from == part.to) {
        fail(Code::conflict,
             fmt::format("both ports of {} meet at one place: nothing would leave it", part.name),
             "Join its two ports to different neighbours.", part.name);
      }
    }
    if (pumps.empty()) {
      fail(Code::missing, "no pump drives the coolant",
           "Add a pump to the loop; a stopped one is pump speed 0, not a missing one.", "network");
    }
    if (cooler_.all("cold_plate").empty()) {
      fail(Code::missing, "the loop has no cold plate", "Add [cold_plate].", "network");
    }
    if (cooler_.all("radiator").empty()) {
      fail(Code::missing, "the loop has no radiator", "Add [radiator] with its class.", "network");
    }
    check_one_piece();
  }

  void check_one_piece() {
    std::vector<int> piece(wiring_.coolant_places.size());
    std::iota(piece.begin(), piece.end(), 0);
    for (std::size_t round = 0; round < piece.size(); ++round) {
      for (const CoolantPart& part : wiring_.coolant) {
        int& a = piece[static_cast<std::size_t>(part.from)];
        int& b = piece[static_cast<std::size_t>(part.to)];
        a = b = std::min(a, b);
      }
    }
    std::vector<std::string> one, others;
    for (const CoolantPart& part : wiring_.coolant) {
      const bool first = piece[static_cast<std::size_t>(part.from)] ==
                         piece[static_cast<std::size_t>(wiring_.coolant.front().from)];
      (first ? one : others).push_back(part.name);
    }
    if (others.empty()) return;
    fail(Code::conflict,
         fmt::format("the coolant runs in separate pieces: {} on one side, {} on the other",
                     text::list(one), text::list(others)),
         "Join them, or predict each loop from a file of its own.", "network");
  }

  // ---- air

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
    wiring_.air_places.push_back({word, found == cases_.end() ? nullptr : found->second});
    return static_cast<int>(wiring_.air_places.size()) - 1;
  }

  void wire_air() {
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
    check_sides();
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
      if (sealed_ || sheet->table().kind != "fan" || !sheet->given("side")) continue;
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

  // Air that enters a place must be able to leave it.
  void check_air() {
    std::vector<int> paths(wiring_.air_places.size(), 0);
    for (const AirRun& run : wiring_.air) {
      ++paths[static_cast<std::size_t>(run.from)];
      ++paths[static_cast<std::size_t>(run.to)];
    }
    for (std::size_t i = 1; i < paths.size(); ++i) {
      if (paths[i] != 1) continue;
      fail(
          Code::conflict,
          fmt::format("air cannot pass '{}': only one path touches it", wiring_.air_places[i].name),
          "Lead a second path from or to it, if only through an opening.", "network");
    }
    std::vector<bool> reached(wiring_.air_places.size(), false);
    reached[0] = true;
    for (std::size_t round = 0; round < reached.size(); ++round) {
      for (const AirRun& run : wiring_.air) {
        const auto from = static_cast<std::size_t>(run.from), to = static_cast<std::size_t>(run.to);
        if (reached[from] || reached[to]) reached[from] = reached[to] = true;
      }
    }
    for (std::size_t i = 0; i < reached.size(); ++i) {
      if (reached[i]) continue;
      fail(Code::conflict,
           fmt::format("air of '{}' never meets the outside: its heat could not leave",
                       wiring_.air_places[i].name),
           "Lead a path from or to outside, if only through an opening.", "network");
    }
  }

  const Cooler& cooler_;
  const bool ring_;    // the coolant runs as in a sealed loop
  const bool sealed_;  // and so does the air
  Network network_;
  std::map<std::string, const Sheet*> air_parts_, cases_;
  std::map<std::string, int> passed_;  // by how many paths
  bool misnamed_ = false;
  Wiring wiring_;
};

}  // namespace

Network sealed_loop(const Cooler& cooler) {
  const auto name = [&](const char* kind) {
    const std::vector<const Sheet*> parts = cooler.all(kind);
    return parts.empty() ? std::string(kind) : paths_of(parts).front();
  };
  const std::string radiator = name("radiator"), tube = name("tube"), pump = name("pump"),
                    plate = name("cold_plate");
  Network network;
  network.join = {{radiator + ".out", tube + ".1.in"},
                  {tube + ".1.out", pump + ".in"},
                  {pump + ".out", plate + ".in"},
                  {plate + ".out", tube + ".2.in"},
                  {tube + ".2.out", radiator + ".in"}};
  const std::vector<const Sheet*> fans = cooler.all("fan");
  const std::vector<std::string> paths = paths_of(fans);
  std::vector<std::string> pushing, pulling;
  for (std::size_t i = 0; i < fans.size(); ++i) {
    (fans[i]->choice("side") == "push" ? pushing : pulling).push_back(paths[i]);
  }
  AirPath air;
  if (!pushing.empty()) air.through.push_back(pushing);
  air.through.push_back({radiator});
  if (!pulling.empty()) air.through.push_back(pulling);
  network.air = {air};
  return network;
}

Wiring wire(const Cooler& cooler) { return Wirer(cooler).whole(); }

}  // namespace libloop
