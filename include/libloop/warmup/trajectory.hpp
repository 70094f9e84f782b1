// One warm-up, solved: everything that is read, at any time.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "libloop/model/model.hpp"

namespace libloop {

// What is told of a warm-up over time.
enum class Trace {
  rise,          // K, of the first chip, as its sensor reads it, lag included
  coolant_rise,  // K, mean coolant in the radiators over the air that enters them
  coolant_flow,  // m3/s, through the first chip's plate
  air_flow,      // m3/s
  load           // W, heat given off by all chips, pumps and boards
};
inline constexpr int trace_count = 5;

// What went in, came out and stayed from the start to a time, J.
struct Energy {
  double in = 0.0, out = 0.0, stored = 0.0;
};

// Readings may be asked for at any time of its course: before its start and after its end they
// are those there, at a step those before it. Where there is no course (see the summary) asking
// throws InputError.
class Trajectory {
 public:
  // Whether the whole time was covered, and if not, why. Reasons beside those of an operating
  // point: no_step (no step held, down to nanoseconds), too_long (not settled in a month),
  // beyond_sense (a temperature such parts never have).
  const network::Summary& summary() const;
  // The settled point of the last row. Not usable when there is none; a trajectory over a
  // given duration may still be.
  const OperatingPoint& settled() const;
  const std::vector<Note>& notes() const;

  double end() const;          // s
  double last_change() const;  // s, when the last row begins: settling counts from there
  double at(Trace trace, double t) const;
  double chip_rise(std::size_t chip, double t) const;  // of any chip, K
  std::size_t chips() const;
  double rate(Trace trace, double t) const;  // by second
  double settled_value(Trace trace) const;
  double settled_chip_rise(std::size_t chip) const;

  // Seconds after the last change from which on a trace stays within `band` of `value` to the
  // end. Nothing when it is outside at the end.
  std::optional<double> settles(Trace trace, double value, double band) const;
  // The same of any chip's reading and its own settled value.
  std::optional<double> chip_settles(std::size_t chip, double band) const;

  Energy energy(double t) const;

  // The start, and the times at which steps ended; and all unknowns of the circuit at a time.
  const std::vector<double>& steps() const;
  std::vector<double> unknowns(double t) const;
  int rejected() const;     // steps tried in vain
  int evaluations() const;  // of the balances

  struct Data;
  explicit Trajectory(std::shared_ptr<const Data> data);

 private:
  std::shared_ptr<const Data> data_;
};

}  // namespace libloop
