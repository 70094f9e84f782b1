#include "libloop/warmup/passing_notes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "libloop/model/answers.hpp"
#include "libloop/model/point_notes.hpp"

namespace libloop {
namespace {

std::vector<double> values_at(const Schedule& schedule, double t) {
  const Segment* here = &schedule.segments.front();
  for (const Segment& segment : schedule.segments) {
    if (segment.begin < t) here = &segment;
  }
  std::vector<double> values = here->values;
  for (std::size_t i = 0; i < here->course.moved.size(); ++i) {
    values[static_cast<std::size_t>(here->course.moved[i])] +=
        here->course.rate[i] * (t - here->begin);
  }
  return values;
}

// Ends of segments, before anything steps, and when something told is largest; the moment with
// the hottest chip first, so that of several notes alike the worst is kept.
std::vector<double> moments(const Schedule& schedule, const Trajectory::Data& data) {
  constexpr std::size_t most = 100;
  const auto largest = [&](Eigen::Index row) {
    return std::max_element(
               data.pieces.begin(), data.pieces.end(),
               [row](const Piece& a, const Piece& b) { return a.after[row] < b.after[row]; })
        ->end;
  };
  std::vector<double> times = {largest(data.row(Trace::coolant_rise))};
  for (std::size_t c = 0; c < data.settled_chips.size(); ++c) {
    times.push_back(largest(data.chip_row(c)));
  }
  const double end = data.pieces.back().end;
  for (const Segment& segment : schedule.segments) {
    if (segment.end > segment.begin && segment.end <= end) times.push_back(segment.end);
  }
  const Eigen::Index reading = data.row(Trace::rise);
  std::stable_sort(times.begin(), times.end(),
                   [&](double a, double b) { return data.at(reading, a) > data.at(reading, b); });
  if (times.size() > most) times.resize(most);
  return times;
}

}  // namespace

std::vector<Note> passing_notes(const Model::Setup& setup, Built& built, const Schedule& schedule,
                                const Trajectory::Data& data) {
  if (data.pieces.empty()) return {};
  Notes passed;
  for (const double t : moments(schedule, data)) {
    const std::vector<double> values = values_at(schedule, t);
    built.circuit.prepare(values);
    std::vector<double> x;
    for (Eigen::Index i = 0; i < data.unknowns; ++i) x.push_back(data.at(i, t));
    network::Evaluation work;
    built.circuit.evaluate(x, network::Slopes::none, work);
    OperatingPoint point;
    fill(point, built, work.answer, values[static_cast<std::size_t>(setup.duty[1])],
         values[static_cast<std::size_t>(setup.duty[0])], true);
    for (Note note : notes_of(setup, built, values, x, point)) {
      const auto same = [&](const Note& n) { return n.code == note.code && n.part == note.part; };
      const std::vector<Note>& told = data.settled.notes;
      if (note.kind != Note::Kind::limit || std::any_of(told.begin(), told.end(), same)) continue;
      note.when = fmt::format("on the way, after {:.3g} min", t / 60.0);
      passed.add(std::move(note));
    }
  }
  return passed.all();
}

}  // namespace libloop
