#include <cmath>

#include "libloop/quantity/unit.hpp"
#include "libloop/report/json_parts.hpp"
#include "libloop/report/point_json.hpp"
#include "libloop/report/warmup.hpp"
#include "libloop/report/warmup_series.hpp"
#include "libloop/report/warmup_words.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

// A wait: null for what does not come about while the point is followed.
Json wait(const Interval& seconds) { return json_interval(seconds, true); }

Json settling(const WarmupPrediction& prediction, const WarmupPoint& point) {
  Json list = Json::array();
  for (std::size_t b = 0; b < prediction.bands.size(); ++b) {
    const bool known = usable(point) && b < point.settling.size();
    const Settling row = known ? point.settling[b] : Settling{};
    list.push_back({{"band_K", tidy(prediction.bands[b])},
                    {"time_s", json_interval(row.reading, known)},
                    {"coolant_time_s", json_interval(row.coolant, known)}});
  }
  return list;
}

Json habits(const WarmupPoint& point) {
  Json list = Json::array();
  for (const HabitResult& result : point.habits) {
    list.push_back({{"change_K", tidy(result.habit.change)},
                    {"over_s", tidy(result.habit.over)},
                    {"time_s", wait(result.time)},
                    {"error_K", json_interval(result.error, true)}});
  }
  return list;
}

Json creep(const WarmupPoint& point) {
  constexpr double minute = 60.0;
  Json list = Json::array();
  for (const Creep& row : point.creep) {
    list.push_back({{"time_s", number_or_null(row.time)},
                    {"rise_K", number_or_null(row.rise)},
                    {"left_K", number_or_null(row.left)},
                    {"rate_K_per_min", number_or_null(minute * row.rate)}});
  }
  return list;
}

void add_owners(Json& list, const std::vector<Owner>& owners, const char* kind) {
  for (const Owner& owner : owners) {
    list.push_back({{"name", owner.name}, {"kind", kind}, {"share", number_or_null(owner.share)}});
  }
}

Json modes(const SlowModes& slow) {
  Json list = Json::array();
  for (const SlowMode& mode : slow.modes) {
    Json owners = Json::array();
    add_owners(owners, mode.stores, "capacity");
    add_owners(owners, mode.carries, "conductance");
    list.push_back({{"time_constant_s", number_or_null(mode.time_constant)},
                    {"period_s", mode.period > 0.0 ? number_or_null(mode.period) : Json()},
                    {"amplitude_K", number_or_null(mode.amplitude)},
                    {"coolant_amplitude_K", number_or_null(mode.coolant_amplitude)},
                    {"owners", std::move(owners)}});
  }
  return list;
}

Json other_chips(const WarmupPrediction& prediction, const WarmupPoint& point) {
  Json list = Json::array();
  for (const ChipWait& chip : point.other_chips) {
    Json waits = Json::array();
    for (std::size_t b = 0; b < chip.time.size(); ++b) {
      waits.push_back({{"band_K", tidy(prediction.bands[b])}, {"time_s", wait(chip.time[b])}});
    }
    list.push_back({{"name", chip.name},
                    {"settled_rise_K", json_interval(chip.settled_rise, true)},
                    {"settling", std::move(waits)}});
  }
  return list;
}

Json modal_error(const SlowModes& slow) {
  const bool known = !slow.modes.empty();
  const auto number = [&](double value) { return known ? number_or_null(value) : Json(); };
  return {
      {"worst_K", number(slow.worst_error)},
      {"at_s", number(slow.worst_error_time)},
      {"after_a_minute_K", slow.error_after_minute ? number(*slow.error_after_minute) : Json()}};
}

Json numbers(const std::vector<double>& values) {
  Json list = Json::array();
  for (const double value : values) list.push_back(number_or_null(value));
  return list;
}

Json series(const WarmupPoint& point, const SeriesOptions& options) {
  const Series all = series_of(point, options);
  Json json = {{"time_s", numbers(all.times)}};
  for (const SeriesColumn& column : all.columns) json[column.key] = numbers(column.values);
  return json;
}

// From the start to the end of what was followed.
Json energy(const WarmupPoint& point) {
  const bool known = point.typical && !point.typical->steps().empty();
  const Energy sums = known ? point.typical->energy(point.typical->end()) : Energy{};
  const auto number = [&](double value) { return known ? number_or_null(value) : Json(); };
  return {
      {"in_J", number(sums.in)}, {"out_J", number(sums.out)}, {"stored_J", number(sums.stored)}};
}

Json profile(const Profile& profile) {
  return {{"rows", profile.times.size()},
          {"end_s", number_or_null(profile.end())},
          {"quantities", profile.names}};
}

void add_point(Json& json, const Model& model, const WarmupPrediction& prediction,
               const WarmupPoint& point, const SeriesOptions& options) {
  const bool answer = usable(point);
  json.update(json_duty(model, point.asked.duty));
  const std::optional<Duty>& soak = point.asked.start.soak;
  json["soak"] = soak ? json_duty(model, *soak) : Json();
  json["profile"] = moves(point) ? profile(point.asked.profile) : Json();
  json["usable"] = answer;
  json["why"] = answer ? "" : why_not(point);
  json["settled_rise_K"] = json_interval(point.settled_rise, answer);
  json["settled_coolant_rise_K"] = json_interval(point.settled_coolant_rise, answer);
  json["settling"] = settling(prediction, point);
  if (!point.other_chips.empty()) json["other_chips"] = other_chips(prediction, point);
  json["habits"] = habits(point);
  json["creep"] = creep(point);
  json["modes"] = modes(point.slow);
  json["modal_error"] = modal_error(point.slow);
  json["last_change_s"] = point.typical ? number_or_null(point.typical->last_change()) : Json();
  json["series"] = series(point, options);
  json["energy"] = energy(point);
  json["samples_without_answer"] = point.without_answer;
  json["notes"] = json_notes(settled_points({{point}, {}}).points.front().typical.notes);
}

}  // namespace

std::string json(const Model& model, const WarmupPrediction& prediction,
                 const SeriesOptions& options) {
  need_points(prediction);
  const WarmupPoint& first = prediction.points.front();
  Json json = json_head();
  json["cooler"] = title_of(model.cooler());
  json["bench"] = title_of(model.bench());
  json["ambient_C"] = tidy(to_unit(first.asked.duty.ambient, "C"));
  json["altitude_m"] = first.asked.duty.altitude;
  json["samples"] = asked_samples(prediction);
  add_point(json, model, prediction, first, options);
  Json more = Json::array();
  for (std::size_t i = 1; i < prediction.points.size(); ++i) {
    Json one = Json::object();
    add_point(one, model, prediction, prediction.points[i], options);
    more.push_back(std::move(one));
  }
  json["more"] = std::move(more);
  return json_text(json);
}

}  // namespace libloop::report
