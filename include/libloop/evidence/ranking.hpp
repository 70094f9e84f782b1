// Coolers against each other, from measured points: at equal load, equal noise, equal rise.
//
//   const libloop::Ranking r = libloop::rank(table, instruments, {.load = 180});
//   r.rows[0].title, r.rows[0].value, r.rows[0].group
//
// docs/theory/comparison.md: how points are read between measured ones, which doubts cancel, and
// when two coolers are told apart.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "libloop/evidence/measured.hpp"
#include "libloop/part/instruments.hpp"

namespace libloop {

// A value with the standard uncertainty of its own, which differences keep (points, mountings),
// and of the bench, which they lose.
struct Valued {
  double value = 0.0;
  double u_own = 0.0, u_bench = 0.0;
  double u() const;
  bool bound = false;   // rise: at least; level: at most
  bool beyond = false;  // read beyond the measured points
};

// What is held equal. Exactly one of fan_share, fan_speed, level and rise, or none: fans at
// their fastest measured speed.
struct Condition {
  double load = 0.0;                  // W
  std::optional<double> fan_share{};  // of rated speed
  std::optional<double> fan_speed{};  // SI of rpm
  std::optional<double> level{};      // dBA: ranks by rise at equal noise
  std::optional<double> rise{};       // K: ranks by noise at equal rise
};

struct RankedCooler {
  std::string title, short_name;
  Valued value;                                // what it is ranked by: K, or dBA at equal rise
  std::optional<Valued> rise, level;           // at the condition
  std::optional<double> fan_speed, fan_share;  // there
  int group = 0;  // from 1; one number: not told apart from the best of the group
  int points = 0, mounts = 0;
  std::string price;
  std::optional<double> kelvin_per_price;  // K below the cheapest, per unit of price above it
  bool predicted = false;
  bool unsettled = false;  // some of its points were read before the rise stood still
  std::vector<std::string> notes;
  // Rows of Ranking::rows that are not told apart from this one, best first, itself left out. They
  // need not be neighbours: a wide doubt reaches farther than a narrow one.
  std::vector<std::size_t> like{};
};

// Two neighbours in rank.
struct Tie {
  std::string better, worse;
  double difference = 0.0, u = 0.0;  // better less worse is -difference
  bool apart = false;
  // Mountings of each that would tell them apart if the difference stays what it is; nothing
  // when no number up to 99 would.
  std::optional<int> mounts_needed;
};

// Rows of which no two are told apart, first and last; no row could be added at either end. A row
// may be in several: A may be as good as B, and B as C, while A is told apart from C. `group` is
// the short form, one number a row.
struct Alike {
  std::size_t first = 0, last = 0;  // of Ranking::rows
};

// How far the bench has moved from its first state, by a reference cooler's repeated runs.
struct BenchState {
  std::string date;
  double factor = 1.0, u = 0.0;  // rise then over rise in the first state
  int points = 0;
};

struct Ranking {
  Condition condition;
  std::vector<RankedCooler> rows;  // best first
  std::vector<Tie> ties;           // of neighbours
  std::vector<Alike> alike;        // runs of two and more
  std::vector<BenchState> states;
  double mount_scatter = 0.0;     // of the rise, relative, one mounting to the next
  double mount_freedom = 0.0;     // degrees of freedom behind it; 0: assumed
  std::vector<LeftOut> left_out;  // coolers without a value, and why: one each
  std::vector<std::string> notes;
};

struct RankOptions {
  std::string reference{};  // title of the cooler that ties the states of the bench
  double apart = 3.0;       // differences above so many standard uncertainties are told apart
};

// Throws InputError: no point, two conditions, a reference that is not there (near miss).
Ranking rank(const MeasuredTable& table, const Instruments<double>& instruments,
             const Condition& condition, const RankOptions& options = {});

// Rise against noise of each cooler at one load: what the picture draws.
struct NoiseCurve {
  std::string title, short_name;
  struct At {
    double level = 0.0, rise = 0.0, u_rise = 0.0;
    bool measured = false;   // a speed of the table, else read between those
    bool predicted = false;  // of a cooler that is predicted, not measured
  };
  std::vector<At> points;  // quietest first
};
std::vector<NoiseCurve> noise_curves(const MeasuredTable& table,
                                     const Instruments<double>& instruments, double load,
                                     const RankOptions& options = {});

// A name of at most `most` characters (4 and more) for each title, no two alike; titles that are
// equal are one cooler. Words that most titles have are cut first, then from the end. The order of
// titles does not matter: give all of a table, and a cooler keeps its name in every picture.
std::vector<std::string> short_names(std::span<const std::string> titles, std::size_t most = 18);

}  // namespace libloop
