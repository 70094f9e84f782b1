#include "libloop/quantity/unit.hpp"
#include "libloop/report/json_parts.hpp"
#include "libloop/report/point_json.hpp"
#include "libloop/report/prediction.hpp"
#include "libloop/report/sections.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

void add_answers(Json& json, const Intervals& answers, bool usable) {
  for (const AnswerRow& row : answer_rows) {
    json[std::string(row.key)] = json_interval(in_unit(answers, row), usable);
  }
}

Json point(const Model& model, const PredictedPoint& predicted) {
  const OperatingPoint& typical = predicted.typical;
  const bool usable = typical.summary.usable;
  const auto number = [&](double value) { return usable ? number_or_null(value) : Json(); };
  Json json = json_duty(model, predicted.duty);
  json["usable"] = usable;
  json["why"] = usable ? "" : typical.summary.why;
  add_answers(json, predicted.answer, usable);
  json["rise_gradient_K"] = {{"p05", number(predicted.gradient_p05)},
                             {"p95", number(predicted.gradient_p95)}};
  json["interval_gap_K"] = number(predicted.interval_gap);
  json["budget_K"] = json_budget(typical.budget, usable);
  json["energy_residual"] = usable ? Json(tidy(typical.energy_residual)) : Json();
  json["samples_without_answer"] = predicted.without_answer;
  json["share_above_limit"] =
      predicted.samples > 0 ? number_or_null(predicted.above_limit) : Json();
  json["notes"] = json_notes(typical.notes);
  json["chips"] = json_chips(predicted);
  json["radiators"] = json_radiators(predicted);
  json["parts"] = json_parts(typical);
  return json;
}

Json points(const Model& model, const Prediction& prediction) {
  Json list = Json::array();
  for (const PredictedPoint& predicted : prediction.points) list.push_back(point(model, predicted));
  return list;
}

Json matters(const Prediction& prediction) {
  Json list = Json::array();
  for (const Matter& matter : prediction.matters) {
    const std::string& unit = matter.row->unit;
    list.push_back({{"quantity", matter.quantity},
                    {"effect_K", number_or_null(matter.effect)},
                    {"given", matter.given},
                    {"unit", unit},
                    {"low", tidy(to_unit(matter.range.low, unit))},
                    {"typical", tidy(to_unit(matter.range.typical, unit))},
                    {"high", tidy(to_unit(matter.range.high, unit))},
                    {"scope", word(matter.row->scope)}});
  }
  return list;
}

// Everything about one cooler.
Json whole(const Model& model, const Prediction& prediction) {
  const PredictedPoint& first = prediction.points.front();
  Json json = json_head();
  json["cooler"] = title_of(model.cooler());
  json["bench"] = title_of(model.bench());
  json["ambient_C"] = tidy(to_unit(first.duty.ambient, "C"));
  json["altitude_m"] = first.duty.altitude;
  json["samples"] = first.samples + first.without_answer;
  json["points"] = points(model, prediction);
  json["matters"] = matters(prediction);
  return json;
}

}  // namespace

std::string json(const Model& model, const Prediction& prediction) {
  return json_text(whole(model, prediction));
}

std::string json(const Model& cooler, const Model& other, const Comparison& comparison,
                 bool alike) {
  Json json = whole(cooler, comparison.cooler);
  json["against"] = title_of(other.cooler());
  json["alike"] = alike;
  json["against_points"] = points(other, comparison.other);
  json["difference_K"] =
      json_interval(comparison.difference.front()[static_cast<std::size_t>(Answer::rise)],
                    both_usable(comparison, 0));
  Json differences = Json::array();
  for (std::size_t i = 0; i < comparison.difference.size(); ++i) {
    Json difference = json_duty(cooler, comparison.cooler.points[i].duty);
    add_answers(difference, comparison.difference[i], both_usable(comparison, i));
    differences.push_back(std::move(difference));
  }
  json["differences"] = std::move(differences);
  return json_text(json);
}

}  // namespace libloop::report
