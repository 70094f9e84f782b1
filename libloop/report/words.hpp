// Words and rounded numbers that several reports share. Only reports round.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "libloop/model/predict.hpp"

namespace libloop::report {

// The number with as many decimals as a doubt of `width` leaves meaning to; three
// significant digits when there is no doubt.
std::string rounded(double value, double width);
// Answers as people read them; an OperatingPoint holds SI.
Interval in_unit(const Intervals& answers, const AnswerRow& row);
// One decimal, and no sign on what rounds to nothing.
std::string kelvins(double value);

// "30 to 49", rounded by its own width.
std::string range_words(const Interval& interval);
std::string range_words(const Interval& interval, double width);
// The median, rounded by the width of the interval.
std::string median(const Interval& interval);

// By which width each answer of a table is rounded, so that its column has the same
// decimals throughout: the widest interval, or three digits when there is no doubt.
using Widths = std::array<double, answer_count>;
Widths column_widths(const std::vector<Intervals>& points);

// Speed of all fans and of all pumps at a duty; nothing when machines of unlike rated speed
// are mixed, or there is none.
std::optional<double> fan_rpm(const Model& model, const Duty& duty);
std::optional<double> pump_rpm(const Model& model, const Duty& duty);

// "180 W and full fans", "180 W, fans at 60 % (1050 rpm) and the pump at 80 % (2200 rpm)"
std::string duty_words(const Model& model, const Duty& duty);
// "180 W, fans 60 %"; "180 W, fans 60 %, pump 80 %"
std::string duty_label(const Duty& duty);

// Whether some point differs from full speed of the pumps, so that tables have to tell it.
bool pump_varies(const Prediction& prediction);
// "100", without its unit, for the cells of tables.
std::string percent_cell(double fraction);

// The point that a report opens with.
const PredictedPoint& hottest(const Prediction& prediction);
// ", the hottest of 3 points,"; empty when there is one.
std::string hottest_words(const Prediction& prediction);

std::string title_of(const Cooler& cooler);
std::string title_of(const Bench& bench);

// A name of two words in two lines, for the head of a column.
std::string stacked(std::string_view name);

// Whether each chip or radiator has something to say of its own.
bool several_chips(const Prediction& prediction);
bool several_radiators(const Prediction& prediction);
// Of one chip or radiator; its typical value alone where nothing was sampled.
Interval rise_of(const PredictedPoint& point, std::size_t chip);
Interval conductance_of(const PredictedPoint& point, std::size_t radiator);

// "the chip", or of several the one whose rise is the answer: "chip.processor".
std::string first_chip(const PredictedPoint& point);

// "; chip.graphics 52 K (40 to 70 K)": the other chip, or of several others the hottest.
std::string other_chips(const PredictedPoint& point);

// Whether every quantity of the prediction was left at its typical value.
bool without_samples(const Prediction& prediction);

// 12 significant digits: what is left of a number declared in one unit after a way to SI
// and back.
double tidy(double value);
// A result in its unit (K, W, L/min, Pa ...) as scripts get it: tidy, and zero where only the
// last digits of a difference are left.
double settled(double value);
// The shortest text that reads back as the same number; empty when it is not finite.
std::string exact(double value);

}  // namespace libloop::report
