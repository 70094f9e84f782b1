// The states of the bench, one a date, and how far it has moved from one to the next: by the
// repeated runs of a reference cooler.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "libloop/evidence/measured_curve.hpp"
#include "libloop/evidence/ranking.hpp"

namespace libloop::evidence {

// Dates of a table, earliest first; points without one come first of all.
class Dates {
 public:
  explicit Dates(const MeasuredTable& table);
  std::size_t of(const MeasuredPoint& point) const;
  std::size_t size() const { return all_.size(); }
  bool dated(std::size_t state) const { return !all_[state].text.empty(); }
  double day(std::size_t state) const { return all_[state].day; }  // 0: unknown
  const std::string& text(std::size_t state) const { return all_[state].text; }
  std::size_t dated_states() const;

 private:
  struct Date {
    double day = 0.0;
    std::string text;
  };
  static bool before(const Date& a, const Date& b);
  std::vector<Date> all_;
};

struct Drift {
  std::vector<BenchState> states;  // one a date
  std::vector<bool> tied;          // the reference ran then, or before and after
  std::size_t first = 0;           // the reference's first state
  std::vector<std::string> notes;
};

// `mount_scatter`: relative, one mounting to the next; the reference is taken as mounted anew in
// every state, for others stood on the bench between.
Drift drift_of(std::span<const UsedPoint> reference, const Dates& dates, double mount_scatter);

}  // namespace libloop::evidence
