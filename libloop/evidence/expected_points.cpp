#include <fmt/format.h>

#include "libloop/base/error.hpp"
#include "libloop/base/text.hpp"
#include "libloop/evidence/expected.hpp"
#include "libloop/model/rated_speed.hpp"

namespace libloop {
namespace {

constexpr double normal_width = 3.29;  // of the 5-95 % interval, in standard deviations

MeasuredPoint point_of(const PredictedPoint& predicted, const Cooler& cooler) {
  const Interval& rise = predicted.at(Answer::rise);
  MeasuredPoint point;
  point.cooler = cooler.title.empty() ? "untitled cooler" : cooler.title;
  point.load = predicted.duty.load;
  point.fan_share = predicted.duty.fan;
  const RatedSpeed rated = rated_speed(cooler, "fan");
  if (rated.value > 0 && rated.given && rated.alike) {
    point.fan_speed = rated.value * predicted.duty.fan;
  }
  point.rise = rise.p50;
  point.u = (rise.p95 - rise.p05) / normal_width;
  point.level = predicted.at(Answer::noise).p50;
  point.ambient = predicted.duty.ambient;
  point.predicted = true;
  return point;
}

}  // namespace

Expected expected_points(const Model& model, std::span<const Duty> duties,
                         const PredictOptions& options) {
  if (options.samples < 1) {
    refuse(Code::call, "points of a predicted cooler need samples: their spread is the doubt",
           "PredictOptions{} draws 400");
  }
  Expected out;
  for (const PredictedPoint& point : predict(model, duties, options).points) {
    if (point.samples > 0) {
      out.points.push_back(point_of(point, model.cooler()));
      continue;
    }
    out.left_out.push_back({1, fmt::format("{}: no answer at {} W: {}", model.cooler().title,
                                           text::number(point.duty.load), point.why_without)});
  }
  return out;
}

}  // namespace libloop
