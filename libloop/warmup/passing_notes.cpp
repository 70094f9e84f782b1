#include "libloop/warmup/passing_notes.hpp"

#include <algorithm>

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

// When an unknown, or what is told, is largest at the end of a step.
double hottest(const Trajectory::Data& data, Eigen::Index row) {
  const auto peak = std::max_element(
      data.pieces.begin(), data.pieces.end(),
      [row](const Piece& a, const Piece& b) { return a.after[row] < b.after[row]; });
  return peak->end;
}

}  // namespace

std::vector<Note> passing_notes(const Model::Setup& setup, Built& built, const Schedule& schedule,
                                const Trajectory::Data& data) {
  if (data.pieces.empty()) return {};
  std::vector<double> times = {hottest(data, data.row(Trace::coolant_rise))};
  for (std::size_t c = 0; c < data.settled_chips.size(); ++c) {
    times.push_back(hottest(data, data.chip_row(c)));
  }
  Notes passed;
  for (const double t : times) {
    const std::vector<double> values = values_at(schedule, t);
    built.circuit.prepare(values);
    std::vector<double> x;
    for (Eigen::Index i = 0; i < data.unknowns; ++i) x.push_back(data.at(i, t));
    network::Evaluation work;
    built.circuit.evaluate(x, network::Slopes::none, work);
    OperatingPoint point;
    fill(point, built, work.answer, values[static_cast<std::size_t>(setup.duty[1])],
         values[static_cast<std::size_t>(setup.duty[0])], true);
    for (const Note& note : notes_of(setup, built, values, x, point)) {
      const auto same = [&](const Note& n) { return n.code == note.code && n.part == note.part; };
      const std::vector<Note>& told = data.settled.notes;
      if (note.kind == Note::Kind::limit && std::none_of(told.begin(), told.end(), same)) {
        passed.add(note);
      }
    }
  }
  return passed.all();
}

}  // namespace libloop
