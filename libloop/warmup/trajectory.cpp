#include "libloop/warmup/trajectory.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "libloop/base/error.hpp"
#include "libloop/warmup/pieces.hpp"

namespace libloop {
namespace {

// c0 + c1 s + c2 s^2 + c3 s^3
using Cubic = std::array<double, 4>;

Cubic cubic(const Piece& piece, Eigen::Index i) {
  const double a = piece.before[i], b = piece.after[i], p = piece.p[i], q = piece.q[i];
  return {a, b - a + p, q - p, -q};
}

double value(const Cubic& c, double s) { return c[0] + s * (c[1] + s * (c[2] + s * c[3])); }

// Where a cubic turns, within (0, 1), in order.
std::vector<double> turns(const Cubic& c) {
  const double a = 3.0 * c[3], b = 2.0 * c[2], d = c[1];
  std::vector<double> all;
  const double inside = b * b - 4.0 * a * d;
  if (inside < 0.0) return all;
  // The quotient whose parts do not cancel, and its mate.
  const double half = -0.5 * (b + std::copysign(std::sqrt(inside), b));
  for (const auto& [over, under] : {std::pair{half, a}, std::pair{d, half}}) {
    if (under == 0.0) continue;
    const double s = over / under;
    if (s > 0.0 && s < 1.0) all.push_back(s);
  }
  std::sort(all.begin(), all.end());
  return all;
}

// Where a cubic that is monotone between two ends, outside at one of them, crosses the edge.
double crossing(const Cubic& c, double outside, double inside, double target, double band) {
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (outside + inside);
    (std::abs(value(c, middle) - target) > band ? outside : inside) = middle;
  }
  return outside;
}

}  // namespace

double Piece::at(Eigen::Index i, double t) const {
  return value(cubic(*this, i), (t - begin) / (end - begin));
}

double Piece::rate(Eigen::Index i, double t) const {
  const Cubic c = cubic(*this, i);
  const double s = (t - begin) / (end - begin);
  return (c[1] + s * (2.0 * c[2] + 3.0 * s * c[3])) / (end - begin);
}

double Piece::last_outside(Eigen::Index i, double target, double band) const {
  const Cubic c = cubic(*this, i);
  std::vector<double> ends = {0.0};
  for (const double s : turns(c)) ends.push_back(s);
  ends.push_back(1.0);
  const auto outside = [&](double s) { return std::abs(value(c, s) - target) > band; };
  if (outside(1.0)) return end;
  for (std::size_t k = ends.size() - 1; k-- > 0;) {
    if (!outside(ends[k])) continue;
    return begin + (end - begin) * crossing(c, ends[k], ends[k + 1], target, band);
  }
  return begin - 1.0;
}

const Piece& Trajectory::Data::piece(double t) const {
  if (pieces.empty()) {
    refuse(Code::call, "this warm-up has no course: " + summary.why,
           "Look at its summary before you ask for readings.");
  }
  const auto after = std::lower_bound(pieces.begin(), pieces.end(), t,
                                      [](const Piece& p, double time) { return p.end < time; });
  return after == pieces.end() ? pieces.back() : *after;
}

std::optional<double> Trajectory::Data::settles(Eigen::Index i, double target, double band) const {
  if (pieces.empty() || pieces.back().end <= last_change) return std::nullopt;
  for (auto piece = pieces.rbegin(); piece != pieces.rend(); ++piece) {
    if (piece->end <= last_change) break;
    const double last = piece->last_outside(i, target, band);
    if (last >= piece->end && piece == pieces.rbegin()) return std::nullopt;
    if (last >= piece->begin) return std::max(0.0, last - last_change);
  }
  return 0.0;
}

double Trajectory::Data::at(Eigen::Index i, double t) const {
  const Piece& here = piece(t);
  return here.at(i, std::clamp(t, here.begin, here.end));
}

Eigen::Index Trajectory::Data::chip_row(std::size_t chip) const {
  if (chip >= settled_chips.size()) {
    refuse(Code::call, "no such chip", "Chips count from 0.");
  }
  return unknowns + static_cast<Eigen::Index>(chip);
}

Eigen::Index Trajectory::Data::behind_chips() const {
  return unknowns + static_cast<Eigen::Index>(settled_chips.size());
}

// Behind the chips stand the other traces, then the energies.
Eigen::Index Trajectory::Data::row(Trace trace) const {
  if (trace == Trace::rise) return chip_row(0);
  return behind_chips() + static_cast<Eigen::Index>(trace) - 1;
}

Eigen::Index Trajectory::Data::energy_row(int which) const {
  return behind_chips() + trace_count - 1 + which;
}

Trajectory::Trajectory(std::shared_ptr<const Data> data) : data_(std::move(data)) {}

const network::Summary& Trajectory::summary() const { return data_->summary; }
const OperatingPoint& Trajectory::settled() const { return data_->settled; }
const std::vector<Note>& Trajectory::notes() const { return data_->notes; }
double Trajectory::last_change() const { return data_->last_change; }
std::size_t Trajectory::chips() const { return data_->settled_chips.size(); }
const std::vector<double>& Trajectory::steps() const { return data_->steps; }
int Trajectory::rejected() const { return data_->rejected; }
int Trajectory::evaluations() const { return data_->evaluations; }

double Trajectory::end() const { return data_->pieces.empty() ? 0.0 : data_->pieces.back().end; }

double Trajectory::at(Trace trace, double t) const { return data_->at(data_->row(trace), t); }

double Trajectory::chip_rise(std::size_t chip, double t) const {
  return data_->at(data_->chip_row(chip), t);
}

double Trajectory::rate(Trace trace, double t) const {
  return t > end() ? 0.0 : data_->piece(t).rate(data_->row(trace), t);
}

double Trajectory::settled_chip_rise(std::size_t chip) const { return data_->settled_chips[chip]; }

double Trajectory::settled_value(Trace trace) const {
  switch (trace) {
    case Trace::rise:
      return data_->settled[Answer::rise];
    case Trace::coolant_rise:
      return data_->settled[Answer::coolant_rise];
    case Trace::coolant_flow:
      return data_->settled[Answer::coolant_flow];
    case Trace::air_flow:
      return data_->settled[Answer::air_flow];
    case Trace::load:
      return data_->settled.heat_in;
  }
  return 0.0;
}

std::optional<double> Trajectory::settles(Trace trace, double target, double band) const {
  return data_->settles(data_->row(trace), target, band);
}

std::optional<double> Trajectory::chip_settles(std::size_t chip, double band) const {
  return data_->settles(data_->chip_row(chip), data_->settled_chips[chip], band);
}

Energy Trajectory::energy(double t) const {
  return {data_->at(data_->energy_row(0), t), data_->at(data_->energy_row(1), t),
          data_->at(data_->energy_row(2), t)};
}

std::vector<double> Trajectory::unknowns(double t) const {
  std::vector<double> all;
  for (Eigen::Index i = 0; i < data_->unknowns; ++i) all.push_back(data_->at(i, t));
  return all;
}

}  // namespace libloop
