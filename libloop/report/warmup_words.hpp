// Words and times that the reports of a warm-up share.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "libloop/warmup/prediction.hpp"

namespace libloop::report {

// Whether a point has an answer, and if not why: the run itself, or that it settles nowhere.
bool usable(const WarmupPoint& point);
std::string why_not(const WarmupPoint& point);

// s from the last change to the end of what was followed.
double followed(const WarmupPoint& point);

// "47 s", "2 min 40 s", "2 h 10 min", rounded as a doubt of `width` seconds leaves meaning to; 0
// when there is none. Infinite: "never".
std::string time_words(double seconds, double width = 0.0);
// "1 min 40 s to 4 min". Where an end never comes: "1 min 40 s to more than 20 min", the time for
// which the point was followed.
std::string time_range(const Interval& interval, double followed);
// "2:40", minutes and seconds for the cells of tables; infinite: ">20:00".
std::string clock(const Interval& interval, double seconds, double followed);
std::string clock_range(const Interval& interval, double followed);
inline constexpr const char* clock_unit = "min:s";

// "0.5 K in 1 min"
std::string habit_words(const Habit& habit);
// "180 W and full fans", with what else a profile ends with.
bool moves(const WarmupPoint& point);
// "From ambient to 180 W and full fans", "From the profile's last row on (...)"
std::string case_words(const Model& model, const WarmupPoint& point);
// "the reading", or of several chips "the reading of chip.processor".
std::string reading_words(const WarmupPoint& point);

// The band that a report opens with: 0.5 K when asked for, else the middle one. Its index.
std::size_t first_band(const WarmupPrediction& prediction);
// Points with an answer by their wait for the first band, the longest and the shortest; nothing
// when none has an answer.
const WarmupPoint* slowest(const WarmupPrediction& prediction);
const WarmupPoint* quickest(const WarmupPrediction& prediction);

// Samples drawn for each point with an answer at typical values.
int asked_samples(const WarmupPrediction& prediction);

// The settled points, with the notes of the way there, as sections of operating points take them.
Prediction settled_points(const WarmupPrediction& prediction);

// Throws InputError (code call) when there is no point.
void need_points(const WarmupPrediction& prediction);

}  // namespace libloop::report
