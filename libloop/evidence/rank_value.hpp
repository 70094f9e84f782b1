// One cooler at one condition, with all its doubts.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "libloop/evidence/groups.hpp"
#include "libloop/evidence/rank_coolers.hpp"

namespace libloop::evidence {

// What is held equal. `fastest`: the fastest measured speed at which the load can be read.
struct Target {
  enum class Kind { fastest, speed, level, rise };
  Kind kind = Kind::fastest;
  double value = 0.0;
  double load = 0.0;
};

struct Placed {
  double speed = 0.0;
  std::optional<Valued> rise, level;
  Doubts of_rise, of_level;
  std::vector<std::string> notes;
  bool ahead = false;       // cooler than the rise held equal even at its slowest
  bool doubt_lost = false;  // a doubt that leads where nothing can be read
  std::string missing;      // why there is no value; empty when there is one
};

class CoolerCurves {
 public:
  // Of a cooler with points. It must outlive the curves.
  CoolerCurves(const MeasuredCooler& cooler, const Campaign& campaign,
               const Instruments<double>& instruments);

  Placed place(const Target& target) const;
  const std::vector<LevelCurve::Node>& levels() const { return levels_.measured(); }
  std::size_t mounts() const { return curves_.mounts().fewest; }

 private:
  struct Spot {
    double speed = 0.0;
    std::optional<RiseReading> rise{};
    std::optional<LevelReading> level{};
    std::string missing{};
    // Cooler or quieter than what is held equal, at all its speeds: read at the slowest or fastest.
    bool end = false;
  };
  struct Moved {  // by a doubt
    double rise = 0.0, level = 0.0;
  };

  Spot find(const RiseCurves& curves, const LevelCurve& levels, const Target& target,
            double reach) const;
  Spot at_speed(const RiseCurves& curves, const LevelCurve& levels, double speed, double load,
                double reach) const;
  Spot fastest_below(const RiseCurves& curves, const LevelCurve& levels, const Target& target,
                     double reach) const;
  Spot slowest_below(const RiseCurves& curves, const LevelCurve& levels, const Target& target,
                     double reach) const;
  std::vector<double> speeds() const;  // of measured points, slowest first
  std::string no_speed_for_level(const LevelCurve::Solved& solved, double level) const;
  std::string no_load(double load) const;
  std::string no_rise(double speed, double load) const;
  Target settle(const Target& target) const;

  template <class Rises>
  Moved moved(const Spot& base, const Target& target, double level_shift, const Rises& rises,
              Placed& out) const;
  void add_points(const Spot& base, const Target& target, Placed& out) const;
  void add_doubts(const Spot& base, const Target& target, Placed& out) const;
  void add_notes(const Spot& base, const Target& asked, Placed& out) const;
  double bench_rise(double rise) const;

  const MeasuredCooler* cooler_;
  const Campaign* campaign_;
  const Instruments<double>* instruments_;
  RiseLayout layout_;
  std::vector<double> rises_;
  RiseCurves curves_;
  LevelCurve levels_;
};

}  // namespace libloop::evidence
