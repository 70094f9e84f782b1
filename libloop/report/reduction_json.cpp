#include <cmath>

#include "libloop/quantity/unit.hpp"
#include "libloop/report/how_read.hpp"
#include "libloop/report/json_parts.hpp"
#include "libloop/report/reduction.hpp"
#include "libloop/report/reduction_words.hpp"

namespace libloop::report {
namespace {

Json in_unit(const std::optional<double>& value, const char* unit) {
  return value ? number_or_null(to_unit(*value, unit)) : Json();
}

const char* shared_word(Shared shared) {
  switch (shared) {
    case Shared::mount:
      return "mounting";
    case Shared::bench:
      return "bench";
    case Shared::no:
      break;
  }
  return "point";
}

Json json_budget(const std::vector<Contribution>& budget) {
  Json list = Json::array();
  for (const Contribution& one : budget) {
    list.push_back({{"name", one.name},
                    {"u_K", number_or_null(one.u)},
                    {"freedom", one.freedom > 0.0 ? number_or_null(one.freedom) : Json()},
                    {"belongs_to", shared_word(one.shared)}});
  }
  return list;
}

Json json_balance(const std::optional<HeatBalance>& heat) {
  if (!heat) return {};
  return {{"load_W", number_or_null(heat->load)},
          {"u_load_W", number_or_null(heat->u_load)},
          {"carried_W", number_or_null(heat->carried)},
          {"u_carried_W", number_or_null(heat->u_carried)},
          {"closes", heat->closes},
          {"limiting", heat->limiting}};
}

Json json_level(const std::optional<Level>& level) {
  if (!level) return {};
  return {{"level_dBA", number_or_null(level->level)},
          {"u_dB", number_or_null(level->u)},
          {"bound", level->bound},
          {"notes", level->notes}};
}

Json json_point(const PointAt& at, const std::string& file) {
  const ReducedPoint& point = *at.point;
  const MeasuredState& state = point.state;
  Json json = {{"number", at.number}, {"file", file}};
  json["step"] = point.step + 1;
  json["start_s"] = number_or_null(point.start);
  json["end_s"] = number_or_null(point.end);
  json["load_W"] = in_unit(state.load, "W");
  json["preset_W"] = in_unit(state.preset, "W");
  json["fan_fraction"] = in_unit(state.fan_share, "1");
  json["fan_speed_rpm"] = in_unit(state.fan_speed, "rpm");
  json["pump_fraction"] = in_unit(state.pump_share, "1");
  json["pump_speed_rpm"] = in_unit(state.pump_speed, "rpm");
  json["coolant_flow_L_per_min"] = in_unit(state.flow, "L/min");
  json["coolant_rise_K"] = in_unit(state.coolant_rise, "K");
  json["sound_dBA"] = state.sound ? number_or_null(*state.sound) : Json();
  json["chip_C"] = number_or_null(to_unit(point.chip, "C"));
  json["ambient_C"] = number_or_null(to_unit(point.ambient, "C"));
  json["rise_K"] = number_or_null(point.rise);
  json["u_K"] = number_or_null(point.u);
  json["u_own_K"] = number_or_null(combined(point.budget, Shared::no));
  json["expanded_95_K"] = number_or_null(expanded(point.budget, point.u));
  json["settled"] = point.settled;
  json["creep_K_per_min"] = number_or_null(60.0 * point.creep);
  json["u_creep_K_per_min"] = number_or_null(60.0 * point.u_creep);
  json["held"] = point.held;
  json["throttled"] = point.throttled;
  json["budget"] = json_budget(point.budget);
  json["heat_balance"] = json_balance(point.balance);
  json["noise"] = json_level(point.level);
  json["notes"] = point.notes;
  return json;
}

Json json_log(const ReducedLog& one) {
  return {{"file", one.log.file},
          {"rows_read", one.log.rows_read},
          {"merged", one.log.merged},
          {"duration_s", one.log.empty() ? Json() : number_or_null(one.log.time.back())},
          {"steps", one.reduction.steps.size()},
          {"notes", one.reduction.notes}};
}

}  // namespace

std::string json(std::span<const ReducedLog> logs) {
  need_logs(logs);
  Json json = json_head();
  Json points = Json::array(), told = Json::array();
  for (const PointAt& at : points_of(logs)) points.push_back(json_point(at, logs[at.log].log.file));
  std::vector<HowRead> files;
  for (const ReducedLog& one : logs) {
    told.push_back(json_log(one));
    files.push_back({one.log.file, one.log.rows_read, &one.log.decisions, &one.log.left_out});
  }
  Json left_out = json_left_out(files);
  for (const ReducedLog& one : logs) {
    for (const LeftOut& steps : one.reduction.left_out) {
      left_out.push_back({{"file", one.log.file},
                          {"what", "steps"},
                          {"count", steps.count},
                          {"reason", steps.reason}});
    }
  }
  json["points"] = std::move(points);
  json["logs"] = std::move(told);
  json["left_out"] = std::move(left_out);
  json["decisions"] = json_decisions(files);
  return json_text(json);
}

}  // namespace libloop::report
