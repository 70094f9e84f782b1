// A cooler's measured points as curves: rise and level at a fan speed and load that nobody
// measured, and the fan speed at which they take a value (docs/theory/comparison.md).
//
//   rise/load  along 1/speed monotone cubic, along load straight from point to point:
//              exact for (a + b/n) P and for aP + bP^2
//   level      straight along ln(speed): exact for a + b ln n
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "libloop/evidence/mounts.hpp"
#include "libloop/math/curve.hpp"

namespace libloop::evidence {

// How a cooler's points tell the speed of its fans. `none`: they do not, all are at one setting.
enum class SpeedKind { none, share, absolute };

struct UsedPoint {
  double load = 0.0;   // W
  double speed = 1.0;  // share of rated speed, or SI of rpm
  double rise = 0.0;   // K
  double u = 0.0;      // K, standard uncertainty of its own
  std::size_t mount = 0, state = 0;
  bool held = true;
  std::optional<double> level{};  // dBA
  bool level_bound = false;
};

// Judgement: settings this near to each other were meant to be one. Readings of one setting
// differ by as much.
inline constexpr double same_speed = 0.01, same_load = 0.02;
// So much further than measured is read, and marked; farther is not.
inline constexpr double furthest = 0.10;

struct RiseReading {
  double rise = 0.0;    // K
  double doubt = 0.0;   // K, standard uncertainty from reading between points; or of a bound
  bool beyond = false;  // outside the measured speeds or loads
  bool bound = false;   // at least so much
  double scaled = 0.0;  // W: in proportion from this load alone; 0: not
};

// Which points share a condition. It does not depend on their rises.
struct RiseLayout {
  struct Cell {
    double load = 0.0, slowness = 0.0;  // means over its points, of load and of 1/speed
    std::vector<std::size_t> points;
  };
  struct Row {  // of one load
    double load = 0.0;
    std::vector<std::size_t> cells;  // fastest first
  };
  std::vector<Cell> cells;
  std::vector<Row> rows;            // lightest first
  std::vector<std::size_t> bounds;  // points that ended at the chip's limit
  std::vector<UsedPoint> points;
  std::size_t mounts = 1;
};
RiseLayout lay_out(std::span<const UsedPoint> points);

class RiseCurves {
 public:
  // `rises`: one a point of the layout, which must outlive the curves.
  RiseCurves(const RiseLayout& layout, std::span<const double> rises);

  // Nothing out of reach, and where the curve goes on to a rise of 0 K or less.
  std::optional<RiseReading> at(double speed, double load, double reach = furthest) const;
  bool reaches(double speed, double load, double reach = furthest) const {
    return plan(speed, load, reach).has_value();
  }
  std::optional<RiseReading> bound_at(double speed, double load) const;

  struct Solved {
    std::optional<double> speed;
    bool too_cool = false;  // even at the slowest readable speed; else too hot, or unread
    bool read = false;      // whether there is any value at this load
  };
  // The slowest speed at which the rise is no more than `rise`.
  Solved speed_at(double rise, double load, double reach = furthest) const;

  const MountFit& mounts() const { return mounts_; }
  const std::vector<double>& cells() const { return value_; }  // K/W

 private:
  struct Term {
    std::size_t row = 0;
    double weight = 1.0;
  };
  struct Plan {
    std::vector<Term> terms;  // one, or two neighbours
    bool beyond = false, beyond_load = false;
  };
  enum class Cover { inside, near, none };

  Cover cover(std::size_t row, double speed, double reach) const;
  std::optional<Plan> plan(double speed, double load, double reach) const;
  double row_at(std::size_t row, double slowness) const;
  double row_doubt(std::size_t row, double slowness) const;
  double value(const Plan& plan, double speed, double load) const;
  double load_doubt(const Plan& plan, double slowness, double load) const;
  std::vector<double> breaks(double reach) const;

  const RiseLayout* layout_;
  std::vector<double> value_;  // of each cell, K/W, mountings levelled out
  std::vector<std::optional<MonotoneCurve>> curve_;
  MountFit mounts_;
};

struct LevelReading {
  double level = 0.0;  // dBA
  double doubt = 0.0;  // dB, from reading between points
  bool beyond = false;
  bool bound = false;  // at most so much
};

class LevelCurve {
 public:
  explicit LevelCurve(std::span<const UsedPoint> points);

  std::optional<LevelReading> at(double speed, double reach = furthest) const;

  struct Solved {
    std::optional<double> speed;
    bool beyond = false;
    double quietest = 0.0, loudest = 0.0;  // of the measured levels
    int measured = 0;                      // levels that are no bounds
  };
  // The fastest speed with this level.
  Solved speed_at(double level, double reach = furthest) const;

  struct Node {
    double speed = 0.0, level = 0.0;
  };
  const std::vector<Node>& measured() const { return nodes_; }  // slowest first
  LevelCurve shifted(double by) const;                          // dB, all levels

 private:
  double slope(std::size_t segment) const;  // dB per unit of ln(speed)

  std::vector<Node> nodes_, bounds_;
};

}  // namespace libloop::evidence
