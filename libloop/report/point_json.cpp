#include "libloop/report/point_json.hpp"

#include "libloop/quantity/unit.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

// A number in its unit, or null.
class Numbers {
 public:
  explicit Numbers(bool usable) : usable_(usable) {}
  Json operator()(double value) const { return usable_ ? number_or_null(value) : Json(); }
  Json operator()(double si, std::string_view unit) const { return (*this)(to_unit(si, unit)); }

 private:
  bool usable_;
};

Json or_null(const std::optional<double>& value) { return value ? Json(*value) : Json(); }

}  // namespace

Json json_interval(const Interval& values, bool usable) {
  const Numbers number(usable);
  return {{"p05", number(values.p05)},
          {"p50", number(values.p50)},
          {"p95", number(values.p95)},
          {"typical", number(values.typical)}};
}

Json json_budget(const std::array<double, budget_rows.size()>& budget, bool usable) {
  const Numbers number(usable);
  Json rows = Json::object();
  for (std::size_t k = 0; k < budget_rows.size(); ++k) {
    rows[std::string(budget_rows[k].key)] = number(budget[k]);
  }
  return rows;
}

Json json_duty(const Model& model, const Duty& duty) {
  return {{"load_W", tidy(duty.load)},
          {"fan_fraction", tidy(duty.fan)},
          {"fan_speed_rpm", or_null(fan_rpm(model, duty))},
          {"pump_fraction", tidy(duty.pump)},
          {"pump_speed_rpm", or_null(pump_rpm(model, duty))}};
}

Json json_notes(const std::vector<Note>& all) {
  Json list = Json::array();
  for (const Note& note : all) {
    list.push_back({{"code", note.code}, {"text", note.text}, {"part", note.part}});
    if (!note.when.empty()) list.back()["when"] = note.when;
  }
  return list;
}

Json json_chips(const PredictedPoint& point) {
  const bool usable = point.typical.summary.usable;
  const Numbers number(usable);
  Json list = Json::array();
  for (std::size_t i = 0; i < point.typical.chips.size(); ++i) {
    const ChipPoint& chip = point.typical.chips[i];
    Json hottest = Json::array();
    for (const double kelvin : chip.hottest) hottest.push_back(number(kelvin));
    list.push_back({{"name", chip.name},
                    {"load_W", number(chip.load)},
                    {"rise_K", json_interval(rise_of(point, i), usable)},
                    {"coolant_flow_L_per_min", number(chip.coolant_flow, "L/min")},
                    {"budget_K", json_budget(chip.budget, usable)},
                    {"hottest_K", std::move(hottest)},
                    {"limit_C", tidy(to_unit(chip.limit, "C"))},
                    {"temperature_C", number(chip.temperature, "C")}});
  }
  return list;
}

Json json_radiators(const PredictedPoint& point) {
  const bool usable = point.typical.summary.usable;
  const Numbers number(usable);
  Json list = Json::array();
  for (std::size_t i = 0; i < point.typical.radiators.size(); ++i) {
    const RadiatorPoint& radiator = point.typical.radiators[i];
    list.push_back(
        {{"name", radiator.name},
         {"heat_W", number(radiator.heat)},
         {"intake_K", number(radiator.intake)},
         {"coolant_rise_K", number(radiator.coolant_rise)},
         {"radiator_conductance_W_per_K", json_interval(conductance_of(point, i), usable)},
         {"air_flow_m3_per_h", number(radiator.air_flow, "m3/h")}});
  }
  return list;
}

Json json_parts(const OperatingPoint& point) {
  const Numbers number(point.summary.usable);
  Json list = Json::array();
  for (const PartPoint& part : point.parts) {
    list.push_back({{"name", part.name},
                    {"stream", part.air ? "air" : "coolant"},
                    {"from", part.from},
                    {"to", part.to},
                    {"flow_kg_per_s", number(part.flow)},
                    {part.air ? "flow_m3_per_h" : "flow_L_per_min",
                     number(part.volume_flow, part.air ? "m3/h" : "L/min")},
                    {"drop_Pa", number(part.drop)},
                    {"pressure_Pa", number(part.pressure)},
                    {"entering_C", number(part.entering, "C")},
                    {"leaving_C", number(part.leaving, "C")}});
  }
  return list;
}

}  // namespace libloop::report
