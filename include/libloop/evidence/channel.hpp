// What a column of a log can tell, each declared once: word, unit, bounds, meaning.
#pragma once

#include <array>
#include <string_view>

namespace libloop {

enum class Channel {
  chip,
  ambient,
  load,
  preset,
  fan_speed,
  fan_share,
  pump_speed,
  pump_share,
  coolant,
  coolant_hot,
  coolant_cold,
  flow,
  sound
};
inline constexpr int channel_count = 13;

struct DeclaredChannel {
  Channel channel;
  std::string_view name;  // "chip": the word of options, JSON and CSV
  std::string_view unit;  // of the trade; values are kept in SI
  double min, max;        // SI; a reading outside is no reading
  std::string_view meaning;
};

const std::array<DeclaredChannel, channel_count>& channels();
const DeclaredChannel& declared(Channel channel);

}  // namespace libloop
