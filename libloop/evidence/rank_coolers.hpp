// A table of points, sorted into coolers whose points are ready for curves.
#pragma once

#include <string>
#include <vector>

#include "libloop/evidence/bench_states.hpp"
#include "libloop/evidence/measured_curve.hpp"
#include "libloop/evidence/ranking.hpp"

namespace libloop::evidence {

struct MeasuredCooler {
  std::string title;
  SpeedKind kind = SpeedKind::none;
  double rated = 0.0;  // SI of rpm, where its points tell; 0: unknown
  std::vector<UsedPoint> points;
  std::size_t mounts = 0;  // with a point that was held
  bool predicted = false;
  bool unsettled = false;  // has points that were read before the rise stood still
  std::vector<std::string> notes;
  std::string missing;  // why none of its points can be used; empty otherwise
};

// In the order in which they come in the table. `wanted`: the speed that is asked for; none: any.
// Points without a stated doubt are counted in `assumed`.
std::vector<MeasuredCooler> gather(const MeasuredTable& table, const Dates& dates, SpeedKind wanted,
                                   int& assumed);

struct Campaign {  // coolers on one state of the bench, and what is known of all
  std::vector<MeasuredCooler> coolers;
  std::vector<BenchState> states;  // one a date; u 0 without a reference
  double mount_scatter = 0.0, mount_freedom = 0.0;
  std::vector<std::string> notes;
};
// Throws InputError: no point, a reference that is not there.
Campaign campaign(const MeasuredTable& table, const Instruments<double>& instruments,
                  SpeedKind wanted, const RankOptions& options);

// "80 %", "1200 rpm"
std::string speed_text(SpeedKind kind, double speed);

}  // namespace libloop::evidence
