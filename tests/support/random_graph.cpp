// Loops of any shape, at random.
#include <algorithm>
#include <random>

#include "support/coolers.hpp"

namespace libloop::testing {
namespace {

class Maker {
 public:
  explicit Maker(unsigned long long seed) : random_(seed) {
    made_.name = "random graph " + std::to_string(seed);
    for (const char* kind : {"radiator", "pump", "tube", "cold_plate"}) made_.cooler.clear(kind);
    made_.bench.seats.clear();
  }

  Case make() {
    std::vector<std::string> must;  // each once, somewhere in the ring
    const int radiators = 1 + pick(4), plates = 1 + pick(4), pumps = 1 + pick(3);
    for (int i = 0; i < radiators; ++i) must.push_back(radiator(i));
    for (int i = 0; i < plates; ++i) must.push_back(plate(i));
    const std::string first_pump = pump(0);
    for (int i = 1; i < pumps; ++i) must.push_back(pump(i));
    for (int i = pick(2); i > 0; --i) must.push_back(part("reservoir"));
    for (int i = pick(4); i > 0; --i) must.push_back(fitting());
    for (int i = pick(8); i > 0; --i) must.push_back(part("tube"));
    std::shuffle(must.begin(), must.end(), random_);
    ring(first_pump, must);
    air();
    made_.bench.set("surroundings.kind", one_in(4) ? "warming" : "open");
    made_.bench.set("bench.load_at", one_in(4) ? "reference" : "hot");
    return std::move(made_);
  }

 private:
  int pick(int of) { return static_cast<int>(random_() % static_cast<unsigned long long>(of)); }
  bool one_in(int n) { return pick(n) == 0; }
  std::string fresh(const char* stem) { return stem + std::to_string(++count_) + "x"; }

  std::string part(const std::string& kind) {
    const std::string name = fresh("n");
    made_.cooler.add(kind, name);
    return kind + "." + name;
  }

  std::string radiator(int) {
    const std::string path = part("radiator");
    static const char* const classes[] = {"120", "140", "240", "280", "360", "420"};
    made_.cooler.set(path + ".class", classes[pick(6)]);
    if (one_in(3)) made_.cooler.set(path + ".fin_kind", "plain");
    if (one_in(3)) made_.cooler.set(path + ".pass_arrangement", "behind");
    return path;
  }

  std::string plate(int) {
    const std::string path = part("cold_plate");
    made_.bench.seats.emplace_back(path.substr(path.find('.') + 1));
    if (!one_in(3)) {
      made_.bench.set("chip." + made_.bench.seats.back().name() + ".load",
                      std::to_string(20 + pick(200)) + " W");
    }
    return path;
  }

  std::string pump(int number) {
    const std::string path = part("pump");
    if (number > 0 && one_in(6)) made_.cooler.set(path + ".speed_share", "0");
    if (one_in(8)) made_.cooler.set(path + ".curve_shape", "-0.3");
    return path;
  }

  std::string fitting() {
    const std::string path = part("fitting");
    if (one_in(4)) made_.cooler.set(path + ".opening", one_in(2) ? "0.01" : "0.2");
    return path;
  }

  void join(const std::string& a, const std::string& b) {
    made_.cooler.network.join.push_back({a, b});
  }

  // Leads from one place through parts in series to another, at times the wrong way round.
  void chain(const std::string& from, const std::vector<std::string>& parts,
             const std::string& to) {
    std::string last = from;
    for (const std::string& one : parts) {
      const bool turned = one_in(12);
      join(last, one + (turned ? ".out" : ".in"));
      last = one + (turned ? ".in" : ".out");
    }
    join(last, to);
  }

  // A ring of groups: single parts, or two or three branches side by side.
  void ring(const std::string& pump, const std::vector<std::string>& parts) {
    const std::string start = fresh("place"), end = fresh("place");
    chain(start, {pump}, end);
    std::string here = end;
    for (std::size_t next = 0; next < parts.size();) {
      const std::size_t left = parts.size() - next;
      const bool last = left <= 3;
      const std::string there = last ? start : fresh("place");
      const std::size_t take = last ? left : 1 + static_cast<std::size_t>(pick(3));
      std::vector<std::string> group(parts.begin() + static_cast<std::ptrdiff_t>(next),
                                     parts.begin() + static_cast<std::ptrdiff_t>(next + take));
      next += take;
      if (take > 1 && one_in(2)) {
        for (const std::string& one : group) chain(here, {one}, there);
        if (one_in(4)) chain(here, {part("tube"), fitting()}, there);  // a bypass
      } else {
        chain(here, group, there);
      }
      here = there;
    }
  }

  std::string fans(const std::string& radiator) {
    const std::string path = part("fan");
    const std::string& word = made_.cooler.find(radiator).choice("class");
    const int most = word[0] == '1' ? 1 : word[0] == '2' ? 2 : 3;
    made_.cooler.find(path).set_count("count", 1 + pick(most));
    if (one_in(4)) made_.cooler.set(path + ".size", one_in(2) ? "110 mm" : "140 mm");
    if (one_in(10)) made_.cooler.set(path + ".speed_share", "0");
    return path;
  }

  void air() {
    Network& network = made_.cooler.network;
    const bool cased = one_in(2);
    if (cased) {
      made_.cooler.add("case");
      network.air.push_back({"case", {{part("opening")}}, "outside"});
      network.air.push_back({"outside", {{part(one_in(2) ? "fan" : "opening")}}, "case"});
    }
    std::vector<std::string> cores;
    for (const Sheet* sheet : made_.cooler.all("radiator")) cores.push_back(sheet->path());
    for (std::size_t i = 0; i < cores.size(); ++i) {
      AirPath path;
      if (cased && one_in(2)) path.to = "case";
      if (cased && one_in(3)) path.from = "case";
      if (one_in(4)) path.through.push_back({part("opening")});
      const bool pushed = !one_in(3);
      if (pushed) path.through.push_back({fans(cores[i])});
      if (pushed && one_in(5)) path.through.push_back({part("shroud")});
      path.through.push_back({cores[i]});
      if (i + 1 < cores.size() && one_in(3)) path.through.push_back({cores[++i]});
      if (!pushed || one_in(3)) path.through.push_back({fans(cores[i])});
      network.air.push_back(path);
    }
  }

  std::mt19937_64 random_;
  int count_ = 0;
  Case made_;
};

}  // namespace

Case random_graph(unsigned long long seed) { return Maker(seed).make(); }

}  // namespace libloop::testing
