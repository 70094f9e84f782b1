// Rise against noise at one load.
#include <algorithm>
#include <cmath>

#include "libloop/base/error.hpp"
#include "libloop/evidence/rank_value.hpp"
#include "libloop/evidence/ranking.hpp"

namespace libloop {
namespace {

using namespace evidence;

constexpr int between = 3;  // places read between neighbours: curves bend little there

struct Place {
  double speed = 0.0;
  bool measured = false;
};

std::vector<Place> places(const std::vector<LevelCurve::Node>& levels) {
  std::vector<Place> out;
  for (std::size_t i = 0; i < levels.size(); ++i) {
    out.push_back({levels[i].speed, true});
    for (int k = 1; k <= between && i + 1 < levels.size(); ++k) {
      const double share = static_cast<double>(k) / (between + 1);
      out.push_back(
          {levels[i].speed * std::pow(levels[i + 1].speed / levels[i].speed, share), false});
    }
  }
  return out;
}

NoiseCurve curve_of(const MeasuredCooler& cooler, const Campaign& campaign,
                    const Instruments<double>& instruments, double load) {
  NoiseCurve out;
  out.title = cooler.title;
  const CoolerCurves curves(cooler, campaign, instruments);
  for (const Place& place : places(curves.levels())) {
    const Placed read = curves.place({Target::Kind::speed, place.speed, load});
    if (!read.missing.empty() || !read.level || read.level->bound || read.rise->bound) continue;
    out.points.push_back(
        {read.level->value, read.rise->value, read.rise->u_own, place.measured, cooler.predicted});
  }
  std::stable_sort(out.points.begin(), out.points.end(),
                   [](const auto& a, const auto& b) { return a.level < b.level; });
  return out;
}

}  // namespace

std::vector<NoiseCurve> noise_curves(const MeasuredTable& table,
                                     const Instruments<double>& instruments, double load,
                                     const RankOptions& options) {
  if (!(load > 0.0) || !std::isfinite(load)) {
    refuse(Code::bounds, "the load of noise curves must be above 0 W", "for example 180 W");
  }
  const Campaign campaign = evidence::campaign(table, instruments, SpeedKind::none, options);
  std::vector<std::string> titles;
  for (const MeasuredCooler& cooler : campaign.coolers) titles.push_back(cooler.title);
  const std::vector<std::string> names = short_names(titles);
  std::vector<NoiseCurve> out;
  for (std::size_t i = 0; i < campaign.coolers.size(); ++i) {
    if (!campaign.coolers[i].missing.empty()) continue;
    NoiseCurve curve = curve_of(campaign.coolers[i], campaign, instruments, load);
    if (curve.points.empty()) continue;
    curve.short_name = names[i];
    out.push_back(std::move(curve));
  }
  return out;
}

}  // namespace libloop
