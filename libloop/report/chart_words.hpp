// Every word that stands in a picture, in each language.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "libloop/report/language.hpp"

namespace libloop::report {

enum class Word {
  // axes
  rise_axis,
  level_axis,
  chip_axis,
  seconds_axis,
  minutes_axis,
  hours_axis,
  // values
  kelvin,
  kelvin_with_doubt,
  decibel,
  at_least,
  at_most,
  celsius,
  watt,
  percent,
  speed,
  // what is held equal
  rise_title,
  noise_title,
  curve_title,
  rise_log_title,
  chip_log_title,
  full_fans,
  fans_at,
  noise_at,
  rise_at,
  lower_is_better,
  down_left_is_better,
  // what is set
  load,
  fans,
  pump,
  // coolers
  more,
  more_left_out,
  no_value,
  predicted,
  // notes
  bar_note,
  bracket_note,
  bound_note,
  beyond_note,
  measured_note,
  predicted_note,
  no_room,
  and_more,
  value_no_room,
  window_note,
  unsettled_note,
  strip_note,
  strip_doubt_note,
  thinned_note,
  forecast_note,
  // a log
  creeping,
  per_minute,
  throttled,
  settles,
  between,
  allowance,
  allowance_down,
  count
};

// The words with every "{}" replaced, in order.
std::string say(Language language, Word word, const std::vector<std::string>& values = {});

// As they stand in the table.
std::string_view pattern(Language language, Word word);

}  // namespace libloop::report
