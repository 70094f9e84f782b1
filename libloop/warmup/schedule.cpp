#include "libloop/warmup/schedule.hpp"

#include <algorithm>

namespace libloop {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

// What a row asks for, and where it would settle.
struct Setting {
  double time = 0.0;
  std::vector<double> values;
  std::vector<double> growth, reference;  // by state: leakage and whence it counts
  bool settles = false;
};

class Scheduler {
 public:
  Scheduler(const Model& model, Solver& solver, const Leakage& leakage, const Built& built,
            const Profile& profile, bool quick)
      : solver_(solver), leakage_(leakage), built_(built), profile_(profile), quick_(quick) {
    for (const std::string& name : profile.names) {
      columns_.push_back(static_cast<int>(model.index(name)));
    }
  }

  Schedule run(const std::vector<double>& values) {
    std::vector<Setting> settings;
    for (std::size_t row = 0; row < profile_.times.size(); ++row) {
      settings.push_back(setting(values, row, settings.empty() ? nullptr : &settings.back()));
      if (row == 0) schedule_.first_at = last_usable_;
    }
    for (std::size_t row = 0; row < settings.size(); ++row) add_segment(settings, row);
    return std::move(schedule_);
  }

 private:
  Setting setting(const std::vector<double>& values, std::size_t row, const Setting* before) {
    Setting s;
    s.time = profile_.times[row];
    s.values = values;
    for (std::size_t c = 0; c < columns_.size(); ++c) {
      s.values[at(columns_[c])] = profile_.values[c][row];
    }
    const bool last = row + 1 == profile_.times.size();
    // Only leakage of a load read hot asks where a row would settle; and the last and first.
    if (last || row == 0 || leaks(s.values)) settle(s, last, before);
    return s;
  }

  bool leaks(const std::vector<double>& values) const {
    if (leakage_.at_reference()) return false;
    const std::vector<double> slopes = leakage_.slopes(values);
    return std::any_of(slopes.begin(), slopes.end(), [](double slope) { return slope != 0.0; });
  }

  void settle(Setting& s, bool last, const Setting* before) {
    const bool same = before != nullptr && before->settles && before->values == s.values;
    if (same && !last) {
      s.growth = before->growth;
      s.reference = before->reference;
      s.settles = true;
      return;
    }
    const OperatingPoint point =
        last && !quick_ ? solver_.solve_at(s.values) : solver_.resolve(s.values);
    s.settles = point.summary.usable;
    if (s.settles) last_usable_ = solver_.unknowns();
    if (last) {
      schedule_.settled = point;
      schedule_.settled_at = solver_.unknowns();
    }
    if (!leaks(s.values)) return;
    if (!s.settles) {
      schedule_.unreferenced.push_back(s.time);
      if (before != nullptr) s.reference = before->reference;
      if (s.reference.empty()) return;
    } else {
      const auto first = last_usable_.begin() + built_.circuit.state_row(0);
      s.reference.assign(first, first + built_.circuit.states());
    }
    s.growth = leakage_.growth(s.values);
  }

  void add_segment(const std::vector<Setting>& settings, std::size_t row) {
    const Setting& from = settings[row];
    const bool last = row + 1 == settings.size();
    const Setting& to = last ? from : settings[row + 1];
    if (!last && to.time == from.time) return;
    Segment segment;
    segment.begin = from.time;
    segment.end = to.time;
    segment.values = from.values;
    segment.step = row == 0 || settings[row - 1].time == from.time;
    segment.course.begin = from.time;
    const double span = to.time - from.time;
    for (const int c : columns_) {
      const double change = to.values[at(c)] - from.values[at(c)];
      if (change == 0.0) continue;
      segment.course.moved.push_back(c);
      segment.course.value.push_back(from.values[at(c)]);
      segment.course.rate.push_back(change / span);
    }
    add_own_heat(from, to, span, segment.course);
    schedule_.segments.push_back(std::move(segment));
  }

  void add_own_heat(const Setting& from, const Setting& to, double span,
                    network::Course& course) const {
    if (from.growth.empty() && to.growth.empty()) return;
    const std::vector<double>& begin = from.reference.empty() ? to.reference : from.reference;
    const std::vector<double>& end = to.reference.empty() ? from.reference : to.reference;
    for (const BuiltChip& chip : built_.chips) {
      for (const int die : chip.dies) {
        network::OwnHeat own;
        own.state = die;
        own.slope = from.growth.empty() ? 0.0 : from.growth[at(die)];
        own.reference = begin[at(die)];
        if (span > 0.0) {
          const double slope = to.growth.empty() ? 0.0 : to.growth[at(die)];
          own.slope_rate = (slope - own.slope) / span;
          own.reference_rate = (end[at(die)] - own.reference) / span;
        }
        course.own_heat.push_back(own);
      }
    }
  }

  Solver& solver_;
  const Leakage& leakage_;
  const Built& built_;
  const Profile& profile_;
  bool quick_;
  std::vector<int> columns_;
  std::vector<double> last_usable_;
  Schedule schedule_;
};

}  // namespace

Schedule schedule_of(const Model& model, Solver& solver, const Leakage& leakage, const Built& built,
                     const std::vector<double>& values, const Profile& profile, bool quick) {
  return Scheduler(model, solver, leakage, built, profile, quick).run(values);
}

}  // namespace libloop
