// The transient of a cooler on a bench.
//
// You need this header when you want one warm-up at values of your own choice. For settling
// times with their intervals, see warmup/prediction.hpp.
//
//   libloop::Warmup warmup(libloop::Model(cooler, bench, libloop::usual_cells));
//   const libloop::Trajectory t = warmup.run(libloop::steady({.load = 180}));
//   t.settles(libloop::Trace::rise, t.settled_value(libloop::Trace::rise), 0.5);
//
// The equations are those of the operating point, with heat stored. docs/theory/warm-up.md.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "libloop/warmup/modes.hpp"
#include "libloop/warmup/profile.hpp"
#include "libloop/warmup/trajectory.hpp"

namespace libloop {

// Cells along every hose, plate and core zone that serve a warm-up: docs/theory/warm-up.md
// gives what is left to gain.
inline constexpr int usual_cells = 4;

// Whence a warm-up starts: all at ambient and just switched on, or settled at a duty before.
struct Start {
  std::optional<Duty> soak;
};

struct WarmupOptions {
  // Error of a step over (1 K and a temperature's distance from the first row's ambient), and
  // alike for flows; 1e-10 to 0.1.
  double tolerance = 1e-4;
  // s; 0: to the last row and on until every temperature is within `settled_within` of its
  // settled value.
  double duration = 0.0;
  double settled_within = 0.005;  // K
  // As Solver::resolve: from where the last run ended and without notes, for samples.
  bool quick = false;
};

class Warmup {
 public:
  explicit Warmup(const Model& model);
  Warmup(Warmup&&) noexcept;
  Warmup& operator=(Warmup&&) noexcept;
  ~Warmup();

  // At typical values, or at all quantities' values in SI. Throws InputError when the profile
  // or the soak is out of bounds; a warm-up that finds no end is told by its summary.
  Trajectory run(const Profile& profile, const Start& start = {},
                 const WarmupOptions& options = {});
  Trajectory run_at(const std::vector<double>& values, const Profile& profile,
                    const Start& start = {}, const WarmupOptions& options = {});

  // The slow modes at the settled point of the last run, with what each has in its reading
  // from where its last row began. Empty without a settled point.
  SlowModes modes();

  struct Impl;

 private:
  std::unique_ptr<Impl> impl_;
};

}  // namespace libloop
