// What the columns of a log are called in the trade, in English and German: one table.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "libloop/evidence/channel.hpp"
#include "libloop/files/tolerant_unit.hpp"

namespace libloop::files {

// What the numbers of a column are.
enum class Measure { unknown, temperature, power, speed, share, flow, sound, time, other };

// Of a unit as quantity/unit knows it; unknown for none.
Measure measure_of_unit(std::string_view unit);

struct Meaning {
  enum class Kind {
    none,     // nothing that a log is read for
    channel,  // `channel`
    speed,    // of `channel` (fan_speed or pump_speed), or its share: the unit tells
    time,     // a clock, a counter, or date and time
    date,     // a date
  };
  Kind kind = Kind::none;
  Channel channel = Channel::chip;
  bool exact = false;  // called by the channel's own word

  bool is_time() const { return kind == Kind::time || kind == Kind::date; }
  bool is_value() const { return kind == Kind::channel || kind == Kind::speed; }
};

// Of a column by its name, without the unit, and what its unit measures.
Meaning meaning_of(std::string_view name, Measure measure);

// Of a heading that was taken apart: one that is a unit and nothing else may be a word, too
// ("Watts").
Meaning meaning_of_heading(std::string_view heading, const NamedUnit& named);

// Whether a name means something, whatever its unit.
bool is_log_heading(std::string_view name);

// Names for suggestions.
std::vector<std::string> usual_headings();

std::optional<Channel> channel_called(std::string_view word);

}  // namespace libloop::files
