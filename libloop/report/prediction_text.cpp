#include <fmt/format.h>

#include <algorithm>

#include "libloop/report/prediction.hpp"
#include "libloop/report/sections.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

// Whether the answer is a calculation only, because the coolant would not stay liquid.
bool boils(const PredictedPoint& point) {
  const std::vector<Note>& notes = point.typical.notes;
  return std::any_of(notes.begin(), notes.end(), [](const Note& note) {
    return note.code == "plate_boils" || note.code == "coolant_boils";
  });
}

std::string headline(const Model& model, const Prediction& prediction) {
  const PredictedPoint& point = hottest(prediction);
  const std::string at = duty_words(model, point.duty) + hottest_words(prediction);
  if (!point.typical.summary.usable) {
    return fmt::format("At {} there is no answer: {}.", at, point.typical.summary.why);
  }
  const Interval& rise = point.at(Answer::rise);
  if (point.samples == 0) {
    return fmt::format("At {} {} reads {} K over ambient (typical values only){}.", at,
                       first_chip(point), median(rise), other_chips(point));
  }
  return fmt::format("At {} {} {} {} K over ambient ({} K, 5-95 %){}.{}", at, first_chip(point),
                     boils(point) ? "would read" : "reads", median(rise), range_words(rise),
                     other_chips(point),
                     boils(point) ? " No such point exists: the coolant would boil first." : "");
}

}  // namespace

std::string text(const Model& model, const Prediction& prediction) {
  const Told told{model, prediction, ""};
  return paragraph("", headline(model, prediction)) + cautions({told}) + basis({told}) +
         points(told) + chips(told) + radiators(told) + budget(told) + matters(told) +
         notes({told}) + before_you_run();
}

}  // namespace libloop::report
