// A picture with everything around it, as `libloop draw` prints it.
#include <fmt/format.h>

#include <cmath>

#include "libloop/base/text.hpp"
#include "libloop/quantity/unit.hpp"
#include "libloop/report/picture.hpp"
#include "libloop/report/point_json.hpp"
#include "libloop/report/sections.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

// Three digits, as the picture has them: "5.00 L/min".
std::string three_digits(double si, std::string_view unit) {
  const double value = to_unit(si, unit);
  constexpr double third_digit = 0.1;
  return fmt::format("{} {}", rounded(value, third_digit * value), unit);
}

std::string headline(const Model& model, const PredictedPoint& point) {
  const std::string at = duty_words(model, point.duty);
  const OperatingPoint& typical = point.typical;
  if (!typical.summary.usable) {
    return fmt::format("At {} there is no answer: {}.", at, typical.summary.why);
  }
  return fmt::format("At {}, with {} of coolant and {} of air, {} reads {} K over ambient{}.", at,
                     three_digits(std::abs(typical[Answer::coolant_flow]), "L/min"),
                     three_digits(std::abs(typical[Answer::air_flow]), "m3/h"), first_chip(point),
                     kelvins(typical[Answer::rise]), other_chips(point));
}

}  // namespace

std::string drawing_text(const Model& model, const Prediction& prediction) {
  const PredictedPoint& point = prediction.points.front();
  const Told told{model, prediction, ""};
  std::string out = paragraph("", headline(model, point)) + cautions({told}) + basis({told});
  const std::string lines = picture(model, point.typical);
  if (!lines.empty()) out += '\n' + lines;
  return out + notes({told});
}

std::string drawing_json(const Model& model, const Prediction& prediction) {
  const PredictedPoint& point = prediction.points.front();
  const bool usable = point.typical.summary.usable;
  Json json = json_head();
  json["cooler"] = title_of(model.cooler());
  json["bench"] = title_of(model.bench());
  json["ambient_C"] = tidy(to_unit(point.duty.ambient, "C"));
  json["altitude_m"] = point.duty.altitude;
  json.update(json_duty(model, point.duty));
  json["usable"] = usable;
  json["why"] = usable ? "" : point.typical.summary.why;
  for (const AnswerRow& row : answer_rows) {
    json[std::string(row.key)] =
        usable ? number_or_null(in_unit(point.answer, row).typical) : Json();
  }
  json["chips"] = json_chips(point);
  json["radiators"] = json_radiators(point);
  json["parts"] = json_parts(point.typical);
  json["notes"] = json_notes(point.typical.notes);
  return json_text(json);
}

}  // namespace libloop::report
