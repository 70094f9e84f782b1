// Ports of coolant that meet.
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <numeric>
#include <set>

#include "libloop/base/text.hpp"
#include "libloop/model/half_wiring.hpp"
#include "libloop/model/paths.hpp"

namespace libloop {
namespace {

const std::set<std::string> coolant_kinds = {"radiator",   "pump",      "tube",
                                             "cold_plate", "reservoir", "fitting"};

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

class CoolantWiring : HalfWiring {
 public:
  using HalfWiring::HalfWiring;

  void run(bool as_usual) {
    if (as_usual) need_one_of_each();
    list_parts(as_usual);
    if (!wiring_.problems.empty()) return;
    wire();
    if (wiring_.problems.empty()) check();
  }

 private:
  // An entry of tubes with a count stands for that many; the sealed loop has two alike.
  void list_parts(bool as_usual) {
    const std::vector<const Sheet*> sheets = cooler_.sheets();
    const std::vector<std::string> paths = paths_of(sheets);
    for (std::size_t i = 0; i < sheets.size(); ++i) {
      const std::string& kind = sheets[i]->table().kind;
      if (coolant_kinds.count(kind) == 0) continue;
      const int count = kind != "tube" ? 1 : as_usual ? 2 : sheets[i]->count("count");
      for (int copy = 1; copy <= count; ++copy) {
        wiring_.coolant.push_back(
            {sheets[i], count > 1 ? fmt::format("{}.{}", paths[i], copy) : paths[i]});
      }
    }
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

  bool is_port(const std::string& word) const {
    return std::any_of(wiring_.coolant.begin(), wiring_.coolant.end(),
                       [&](const CoolantPart& part) {
                         return word == part.name + ".in" || word == part.name + ".out";
                       });
  }

  // For a port of a kind that the file has none of, or several of.
  std::string missing_part(const std::string& word) const {
    const std::string kind = word.substr(0, word.find('.'));
    if (coolant_kinds.count(kind) == 0) return {};
    std::vector<std::string> names;
    for (const CoolantPart& part : wiring_.coolant) {
      if (part.sheet->table().kind == kind) names.push_back("'" + part.name + "'");
    }
    if (names.empty()) return fmt::format("The file has no [{}]: add one.", kind);
    for (const Sheet* tube : cooler_.all("tube")) {
      const bool of_it = word.rfind(path_of(cooler_, *tube) + ".", 0) == 0;
      if (of_it && tube->count("count") > 1) {
        return fmt::format("{} has count = {}: its hoses are called 1 to {}.",
                           path_of(cooler_, *tube), tube->count("count"), tube->count("count"));
      }
    }
    const bool bare = word == kind + ".in" || word == kind + ".out";
    constexpr std::size_t few = 12;
    if (!bare || names.size() > few) return {};
    return fmt::format("Say which {}: the file has {}.", kind, text::list(names));
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
    std::string hint = missing_part(word);
    if (hint.empty()) hint = text::did_you_mean(word, ports());
    if (hint.empty()) hint = "Ports are named after parts: 'pump.in', 'radiator.top.out'.";
    fail(Code::unknown, fmt::format("no part has a port called '{}'", word), hint, about);
  }

  void wire() {
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

  void check() {
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
};

}  // namespace

void wire_coolant(const Cooler& cooler, const Network& network, bool as_usual, Wiring& wiring) {
  CoolantWiring(cooler, network, wiring).run(as_usual);
}

}  // namespace libloop
