#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "libloop/base/error.hpp"
#include "libloop/base/text.hpp"
#include "libloop/evidence/rank_coolers.hpp"

namespace libloop::evidence {
namespace {

// Judgement: a standard deviation from fewer degrees of freedom is off by a third or more
// (1/sqrt(2 x 4); JCGM 100:2008, E.4.3), so the assumed one must not be larger.
constexpr double enough_freedom = 4.0;
constexpr double wide_ambient = 5.0;  // K; judgement

const MeasuredCooler& find(const std::vector<MeasuredCooler>& coolers, const std::string& title) {
  std::vector<std::string> titles;
  for (const MeasuredCooler& cooler : coolers) {
    if (cooler.title == title) return cooler;
    titles.push_back(cooler.title);
  }
  refuse(Code::unknown, fmt::format("no point of the reference cooler '{}'", title),
         text::did_you_mean(title, titles));
}

void correct(std::vector<MeasuredCooler>& coolers, const Drift& drift) {
  for (MeasuredCooler& cooler : coolers) {
    if (cooler.predicted) continue;
    for (UsedPoint& point : cooler.points) {
      point.rise /= drift.states[point.state].factor;
      point.u /= drift.states[point.state].factor;
    }
  }
}

// Later runs of the reference have told the drift; after it they say nothing new.
void keep_first_runs(MeasuredCooler& reference, const Drift& drift) {
  const std::size_t before = reference.points.size();
  std::erase_if(reference.points, [&](const UsedPoint& point) {
    return point.state > drift.first && drift.states[point.state].points > 0;
  });
  const std::size_t used = before - reference.points.size();
  if (used == 0) return;
  std::map<std::size_t, std::size_t> mounts;
  for (UsedPoint& point : reference.points) {
    if (point.held) mounts.try_emplace(point.mount, mounts.size());
  }
  reference.mounts = mounts.size();
  for (UsedPoint& point : reference.points) {
    point.mount = mounts.try_emplace(point.mount, mounts.size()).first->second;
  }
  reference.notes.push_back(
      fmt::format("{} of its points tie the dates and count for nothing else", used));
}

void pool_mounts(Campaign& campaign, double assumed) {
  double squares = 0.0, freedom = 0.0;
  for (MeasuredCooler& cooler : campaign.coolers) {
    if (cooler.predicted || cooler.mounts < 2) continue;
    const RiseLayout layout = lay_out(cooler.points);
    std::vector<double> rises;
    for (const UsedPoint& point : layout.points) rises.push_back(point.rise);
    const MountFit fit = RiseCurves(layout, rises).mounts();
    squares += fit.squares();
    freedom += fit.freedom();
    if (fit.sets > 1) cooler.notes.emplace_back("its mountings do not all share a condition");
  }
  const double measured = freedom > 0 ? std::sqrt(squares / freedom) : 0.0;
  if (freedom >= enough_freedom || (freedom > 0 && measured >= assumed)) {
    campaign.mount_scatter = measured;
    campaign.mount_freedom = freedom;
    return;
  }
  campaign.mount_scatter = assumed;
  if (freedom > 0) {
    campaign.notes.push_back(fmt::format(
        "{} mountings more than one a cooler show a scatter of {} %; so few do not speak against "
        "the {} % that the bench assumes, which is used.",
        text::number(freedom), text::number(100 * measured, 2), text::number(100 * assumed, 2)));
  } else {
    campaign.notes.push_back(
        fmt::format("No cooler was mounted twice at a shared condition: {} % scatter of the rise "
                    "from one mounting to the next is assumed.",
                    text::number(100 * assumed, 2)));
  }
}

void note_ambients(Campaign& campaign, const MeasuredTable& table) {
  double low = 1e9, high = -1e9;
  for (const MeasuredPoint& point : table.points) {
    if (!point.ambient || point.predicted) continue;
    low = std::min(low, *point.ambient);
    high = std::max(high, *point.ambient);
  }
  if (high - low <= wide_ambient) return;
  campaign.notes.push_back(fmt::format("Ambients lie {} K apart; rises are compared as they are.",
                                       text::number(high - low, 2)));
}

void note_near_titles(Campaign& campaign) {
  std::map<std::string, std::string> seen;
  for (const MeasuredCooler& cooler : campaign.coolers) {
    std::string plain;
    for (const char c : cooler.title) {
      if (c == ' ' || c == '\t') continue;
      plain += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    }
    const auto [place, fresh] = seen.emplace(plain, cooler.title);
    if (fresh) continue;
    campaign.notes.push_back(
        fmt::format("'{}' and '{}' are taken as two coolers.", place->second, cooler.title));
  }
}

}  // namespace

Campaign campaign(const MeasuredTable& table, const Instruments<double>& instruments,
                  SpeedKind wanted, const RankOptions& options) {
  if (table.points.empty()) {
    refuse(Code::missing, "there is no point to compare", "a table with a row for each point");
  }
  const Dates dates(table);
  Campaign out;
  int assumed = 0;
  out.coolers = gather(table, dates, wanted, assumed);
  if (assumed > 0) {
    out.notes.push_back(fmt::format("{} of {} points tell no doubt of their own: 0.3 K is assumed.",
                                    assumed, table.points.size()));
  }
  note_ambients(out, table);
  note_near_titles(out);

  std::vector<UsedPoint> reference;
  if (!options.reference.empty()) {
    int uncounted = 0;  // whatever speed is asked for, the reference's runs are matched by its own
    const auto any = gather(table, dates, SpeedKind::none, uncounted);
    reference = find(any, options.reference).points;
    const Drift drift = drift_of(reference, dates, 0.0);
    correct(out.coolers, drift);
    for (MeasuredCooler& cooler : out.coolers) {
      if (cooler.title == options.reference) keep_first_runs(cooler, drift);
    }
  } else if (dates.dated_states() > 1) {
    out.notes.push_back(
        fmt::format("Points of {} dates are compared as they are: no reference cooler ties them.",
                    dates.dated_states()));
  }
  pool_mounts(out, instruments.remount.value);
  if (!options.reference.empty()) {
    Drift drift = drift_of(reference, dates, out.mount_scatter);
    out.states = std::move(drift.states);
    out.notes.insert(out.notes.end(), drift.notes.begin(), drift.notes.end());
  } else {
    out.states.resize(dates.size());
  }
  return out;
}

}  // namespace libloop::evidence
