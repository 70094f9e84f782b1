#include <fmt/format.h>

#include "libloop/base/text.hpp"
#include "libloop/evidence/channel.hpp"
#include "libloop/files/bytes.hpp"
#include "libloop/files/measured_columns.hpp"
#include "libloop/files/read_measured.hpp"

namespace libloop {
namespace {

using files::Column;
using files::Reading;
using files::TableColumns;
using files::TolerantRow;
using files::TolerantTable;

constexpr double nearest = 0.01, farthest = 100.0;  // m

bool is_level(double value) {
  const DeclaredChannel& sound = declared(Channel::sound);
  return value >= sound.min && value <= sound.max;
}

// Empty when the row became a reading, else why not.
std::string read_row(const TableColumns& columns, const TolerantRow& row, LevelTable& out) {
  LevelReading reading;
  reading.line = row.line;
  const Reading level = columns.number(row, Column::noise);
  if (!level.trouble.empty()) return level.trouble;
  if (!level.value) return "no level";
  if (level.most) return "only a bound of the level";
  if (!is_level(*level.value)) return "the level is out of bounds";
  reading.level = *level.value;
  const files::FanReading fan = columns.fan(row);
  if (!fan.trouble.empty()) return fan.trouble;
  if (!fan.share && !fan.speed) return "no fan speed";
  const DeclaredChannel &share = declared(Channel::fan_share),
                        &speed = declared(Channel::fan_speed);
  const bool fine = (!fan.share || (*fan.share >= share.min && *fan.share <= share.max)) &&
                    (!fan.speed || (*fan.speed >= speed.min && *fan.speed <= speed.max));
  if (!fine) return "the fan speed is out of bounds";
  reading.fan_share = fan.share;
  reading.fan_speed = fan.speed;
  const Reading room = columns.number(row, Column::background);
  if (!room.trouble.empty()) return room.trouble;
  if (room.value && !is_level(*room.value)) return "the background is out of bounds";
  reading.background = room.value;
  const Reading distance = columns.number(row, Column::distance);
  if (!distance.trouble.empty()) return distance.trouble;
  if (distance.value && (*distance.value < nearest || *distance.value > farthest)) {
    return "the distance is out of bounds";
  }
  reading.distance = distance.value;
  out.readings.push_back(reading);
  return {};
}

}  // namespace

LevelTable parse_levels(std::string_view bytes, const std::string& file,
                        const ReadingChoice& choice) {
  const TolerantTable table = files::measured_rows(bytes, file, choice);
  LevelTable out;
  out.file = file;
  out.decisions = table.decisions;
  const TableColumns columns(table, out.decisions);
  if (!columns.has(Column::fan)) columns.fail_missing("the fan speed", "fan [%]");
  if (!columns.has(Column::noise)) columns.fail_missing("the level", "noise [dBA]");
  std::string first;
  int unused = 0;
  for (const TolerantRow& row : table.rows) {
    const std::string trouble = read_row(columns, row, out);
    if (trouble.empty()) continue;
    if (first.empty()) first = trouble;
    constexpr int most_told = 20;
    if (++unused <= most_told) {
      out.decisions.push_back(fmt::format("Line {} is not used: {}.", row.line, trouble));
    }
  }
  out.decisions.push_back(
      fmt::format("{} of {} rows are used.", out.readings.size(), table.rows.size()));
  if (!out.readings.empty()) return out;
  throw InputError(Problem{Code::missing, "no row can be used: " + first,
                           "A row needs a fan speed and a level.",
                           table.at(table.rows.front(), 0)});
}

LevelTable read_levels(const std::string& path, const ReadingChoice& choice) {
  return parse_levels(files::bytes_of(path, files::most_table_mebibytes), path, choice);
}

}  // namespace libloop
