#include "libloop/model/air_stack.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "libloop/part/radiator.hpp"

namespace libloop {
namespace {

constexpr double sliver = 1e-6;      // of a face: thinner strips are none
constexpr double usual_size = 0.12;  // m, of a fan that stands at no core

const RadiatorClass& grid_of(const Sheet& radiator) {
  return radiator_classes[static_cast<std::size_t>(radiator.count("class"))];
}
double length_of(const RadiatorClass& grid) { return grid.fans * grid.fan_size; }

struct Lane {
  const Sheet* fan;
  int copy;
  double size, begin, end;  // m along the face
  double middle() const { return 0.5 * (begin + end); }
};

struct Item {
  const Sheet* radiator = nullptr;  // a core, or
  const Sheet* opening = nullptr;   // an opening, or
  std::vector<Lane> lanes;          // a row of fans
  std::vector<double> cuts;         // of a core: 0 ... its length
  bool fans() const { return !lanes.empty(); }
};

// The space between two neighbours: whole, or one for each strip of the face.
struct Gap {
  struct Strip {
    double begin, end;
    int space;
  };
  std::vector<Strip> strips;
  int whole = -1;
  const Sheet* shroud = nullptr;
};

class Stacker {
 public:
  explicit Stacker(const AirRun& run) : same_ends_(run.from == run.to) {
    for (const std::vector<const Sheet*>& row : run.items) read(row);
    gaps_.resize(items_.size() + 1);
    for (const auto& [gap, shroud] : shrouds_) gaps_[gap].shroud = shroud;
    for (std::size_t i = 0; i < items_.size(); ++i) place_fans(i);
    cut_cores();
    for (std::size_t g = 0; g < gaps_.size(); ++g) divide(g);
  }

  AirStack whole() {
    // Air is counted once, and only where it cools a core.
    bool counts = std::any_of(items_.begin(), items_.end(),
                              [](const Item& item) { return item.radiator != nullptr; });
    for (std::size_t i = 0; i < items_.size(); ++i) {
      if (items_[i].fans()) {
        add_fans(i, counts);
        counts = false;
      } else if (items_[i].radiator != nullptr) {
        add_zones(i);
      } else {
        stack_.openings.push_back({items_[i].opening, gaps_[i].whole, gaps_[i + 1].whole});
      }
    }
    return std::move(stack_);
  }

 private:
  void read(const std::vector<const Sheet*>& row) {
    const std::string& kind = row.front()->table().kind;
    if (kind == "shroud") {
      shrouds_.emplace_back(items_.size(), row.front());
      return;
    }
    Item item;
    if (kind == "radiator") item.radiator = row.front();
    if (kind == "opening") item.opening = row.front();
    if (kind == "fan") {
      for (const Sheet* fan : row) {
        for (int copy = 0; copy < fan->count("count"); ++copy) {
          item.lanes.push_back({fan, copy, 0.0, 0.0, 0.0});
        }
      }
    }
    items_.push_back(std::move(item));
  }

  const Sheet* core_at(std::size_t i) const {
    return i < items_.size() ? items_[i].radiator : nullptr;
  }
  // The core beside a row of fans: behind it, or else before it.
  const Sheet* core_beside(std::size_t i) const {
    if (const Sheet* behind = core_at(i + 1)) return behind;
    return i > 0 ? core_at(i - 1) : nullptr;
  }

  void place_fans(std::size_t i) {
    double along = 0.0;
    for (Lane& lane : items_[i].lanes) {
      const Sheet* core = core_beside(i);
      lane.size = lane.fan->given("size") ? lane.fan->typical("size")
                  : core != nullptr       ? grid_of(*core).fan_size
                                          : usual_size;
      lane.begin = along;
      along += lane.size;
      lane.end = along;
    }
  }

  bool alike(const Sheet& a, const Sheet& b) const { return &grid_of(a) == &grid_of(b); }

  // Cores one behind the other are cut alike, where fans of either side begin and end.
  void cut_cores() {
    for (std::size_t i = 0; i < items_.size();) {
      if (items_[i].radiator == nullptr) {
        ++i;
        continue;
      }
      std::size_t last = i;
      while (core_at(last + 1) != nullptr && alike(*items_[i].radiator, *core_at(last + 1))) ++last;
      const double length = length_of(grid_of(*items_[i].radiator));
      std::vector<double> cuts{0.0, length};
      const auto add = [&](std::size_t row, std::size_t gap) {
        if (row >= items_.size() || gaps_[gap].shroud != nullptr) return;
        for (const Lane& lane : items_[row].lanes) cuts.push_back(std::min(lane.end, length));
      };
      if (i > 0) add(i - 1, i);
      add(last + 1, last + 1);
      std::sort(cuts.begin(), cuts.end());
      cuts.erase(std::unique(cuts.begin(), cuts.end(),
                             [&](double a, double b) { return b - a < sliver * length; }),
                 cuts.end());
      cuts.back() = length;
      for (; i <= last; ++i) items_[i].cuts = cuts;
    }
  }

  int new_space() { return stack_.spaces++; }

  void divide(std::size_t g) {
    Gap& gap = gaps_[g];
    if (g == 0) gap.whole = AirStack::begin;
    if (g == items_.size()) gap.whole = AirStack::end;
    if (gap.whole >= 0) return;
    const Item &before = items_[g - 1], &behind = items_[g];
    const auto by_lanes = [&](const std::vector<Lane>& lanes) {
      for (const Lane& lane : lanes) gap.strips.push_back({lane.begin, lane.end, new_space()});
    };
    if (gap.shroud == nullptr && before.fans() && behind.radiator != nullptr) {
      by_lanes(before.lanes);
    } else if (gap.shroud == nullptr && before.radiator != nullptr && behind.fans()) {
      by_lanes(behind.lanes);
    } else if (before.fans() && behind.fans() && same_lanes(before.lanes, behind.lanes)) {
      by_lanes(before.lanes);
    } else if (before.radiator != nullptr && behind.radiator != nullptr &&
               alike(*before.radiator, *behind.radiator)) {
      for (std::size_t c = 1; c < before.cuts.size(); ++c) {
        gap.strips.push_back({before.cuts[c - 1], before.cuts[c], new_space()});
      }
    } else {
      gap.whole = new_space();
    }
  }

  static bool same_lanes(const std::vector<Lane>& a, const std::vector<Lane>& b) {
    return a.size() == b.size() && std::equal(a.begin(), a.end(), b.begin(), [](auto& x, auto& y) {
             return std::abs(x.end - y.end) < sliver;
           });
  }

  // The space of a gap at one place along the face. Beside a row of fans it is open to the
  // fans' other side.
  int space_at(std::size_t g, double along) {
    const Gap& gap = gaps_[g];
    if (gap.whole >= 0) return gap.whole;
    for (const Gap::Strip& strip : gap.strips) {
      if (along > strip.begin && along < strip.end) return strip.space;
    }
    const std::size_t row = items_[g - 1].fans() ? g - 1 : g;
    if (gaps_[row].whole >= 0) return gaps_[row].whole;
    if (gaps_[row + 1].whole >= 0) return gaps_[row + 1].whole;
    const auto known = std::find_if(beside_.begin(), beside_.end(),
                                    [&](const auto& entry) { return entry.first == row; });
    if (known != beside_.end()) return known->second;
    beside_.emplace_back(row, new_space());
    return beside_.back().second;
  }

  void add_fans(std::size_t i, bool counts) {
    const std::vector<Lane>& lanes = items_[i].lanes;
    const bool before_core = core_at(i + 1) != nullptr;
    const std::size_t core_gap = before_core ? i + 1 : i;
    const Sheet* core = core_beside(i);
    const bool shrouded = gaps_[core_gap].shroud != nullptr;
    if (core != nullptr && shrouded) {
      stack_.shrouds.push_back({gaps_[core_gap].shroud, gaps_[core_gap].whole,
                                space_at(before_core ? i : i + 1, lanes.front().middle())});
    }
    for (const Lane& lane : lanes) {
      AirStack::FanPlace fan{lane.fan,
                             lane.copy,
                             lane.size,
                             space_at(i, lane.middle()),
                             space_at(i + 1, lane.middle()),
                             before_core,
                             counts};
      if (core != nullptr && !shrouded) {
        fan.leak_of = core;
        fan.uncovered = uncovered(lanes, grid_of(*core)) / static_cast<double>(lanes.size());
        fan.overhang = overhang(lane, grid_of(*core));
        fan.leak_from = fan.to;
        fan.leak_to = fan.from;
      }
      stack_.fans.push_back(fan);
    }
  }

  // Length of a lane that lies on the core, m.
  static double on_core(const Lane& lane, const RadiatorClass& grid) {
    return std::max(0.0, std::min(lane.end, length_of(grid)) - lane.begin);
  }

  // Share of the face before which no fan stands.
  static double uncovered(const std::vector<Lane>& lanes, const RadiatorClass& grid) {
    double covered = 0.0;
    for (const Lane& lane : lanes) {
      covered += on_core(lane, grid) / length_of(grid) * std::min(1.0, lane.size / grid.fan_size);
    }
    const double left = 1.0 - covered;
    return left < sliver ? 0.0 : left;
  }

  // Area of a fan that looks past the core, m2.
  static double overhang(const Lane& lane, const RadiatorClass& grid) {
    const double past =
        lane.size * lane.size - on_core(lane, grid) * std::min(lane.size, grid.fan_size);
    return past < sliver * lane.size * lane.size ? 0.0 : past;
  }

  // The lane of a row at one place of the face, unless a shroud spreads the row's air.
  std::optional<Lane> lane_at(std::size_t row, std::size_t gap, double along) const {
    if (row >= items_.size() || gaps_[gap].shroud != nullptr) return std::nullopt;
    for (const Lane& lane : items_[row].lanes) {
      if (along > lane.begin && along < lane.end) return lane;
    }
    return std::nullopt;
  }

  bool row_before(std::size_t core) const { return core > 0 && items_[core - 1].fans(); }
  bool row_behind(std::size_t core) const {
    return core + 1 < items_.size() && items_[core + 1].fans();
  }

  // The shroud that relieves a core of its fans' shadow: with rows on both sides that which
  // relieves it less, and none where a row stands on the fins.
  const Sheet* relief_of(std::size_t core) const {
    const Sheet *before = gaps_[core].shroud, *behind = gaps_[core + 1].shroud;
    if (!row_before(core)) return behind;
    if (!row_behind(core)) return before;
    if (before == nullptr || behind == nullptr) return nullptr;
    return before->typical("hub_relief") <= behind->typical("hub_relief") ? before : behind;
  }

  void add_zones(std::size_t i) {
    const Item& core = items_[i];
    const RadiatorClass& grid = grid_of(*core.radiator);
    for (std::size_t c = 1; c < core.cuts.size(); ++c) {
      const double middle = 0.5 * (core.cuts[c - 1] + core.cuts[c]);
      double covered = 1.0;
      for (const auto& lane :
           {i > 0 ? lane_at(i - 1, i, middle) : std::nullopt, lane_at(i + 1, i + 1, middle)}) {
        if (lane) covered = std::min(covered, lane->size / grid.fan_size);
      }
      const int from = space_at(i, middle), to = space_at(i + 1, middle);
      const bool same = from == to || (same_ends_ && from <= AirStack::end && to <= AirStack::end);
      stack_.zones.push_back({core.radiator, row_before(i) || row_behind(i), relief_of(i),
                              (core.cuts[c] - core.cuts[c - 1]) / length_of(grid), covered, from,
                              to, !same});
    }
  }

  bool same_ends_;
  std::vector<Item> items_;
  std::vector<Gap> gaps_;
  std::vector<std::pair<std::size_t, const Sheet*>> shrouds_;
  std::vector<std::pair<std::size_t, int>> beside_;  // row of fans -> the space beside them
  AirStack stack_;
};

}  // namespace

AirStack stack_of(const AirRun& run) { return Stacker(run).whole(); }

}  // namespace libloop
