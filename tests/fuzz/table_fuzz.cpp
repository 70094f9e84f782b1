// Whatever bytes a measured table or a table of sound levels holds, reading it ends in points that
// keep their promises or in an InputError. The first byte chooses what the caller settles.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "libloop/base/error.hpp"
#include "libloop/evidence/channel.hpp"
#include "libloop/files/read_measured.hpp"

namespace {

using libloop::Channel;

void require(bool holds) {
  if (!holds) std::abort();
}

bool within(Channel channel, double value) {
  const libloop::DeclaredChannel& one = libloop::declared(channel);
  return value >= one.min && value <= one.max;
}

void check(const libloop::MeasuredTable& table) {
  require(!table.points.empty());
  long long left = 0;
  for (const libloop::LeftOut& one : table.left_out) {
    require(one.count > 0 && !one.reason.empty());
    left += one.count;
  }
  require(table.rows_read == left + static_cast<long long>(table.points.size()));
  for (const libloop::MeasuredPoint& point : table.points) {
    require(!point.cooler.empty());
    require(point.load > 0.0 && within(Channel::load, point.load));
    require(point.rise > 0.0 && point.rise <= 200.0);
    require(!point.fan_share || within(Channel::fan_share, *point.fan_share));
    require(!point.fan_speed || within(Channel::fan_speed, *point.fan_speed));
    require(!point.ambient || within(Channel::ambient, *point.ambient));
    require(!point.level || within(Channel::sound, *point.level));
    require(!point.u || *point.u >= 0.0);
    require(point.line > 0 && std::isfinite(point.day));
  }
  for (const libloop::Price& price : table.prices) {
    require(!price.text.empty() && (!price.amount || std::isfinite(*price.amount)));
  }
}

void check(const libloop::LevelTable& table) {
  require(!table.readings.empty());
  for (const libloop::LevelReading& one : table.readings) {
    require(within(Channel::sound, one.level));
    require(one.fan_share || one.fan_speed);
    require(!one.background || within(Channel::sound, *one.background));
    require(!one.distance || *one.distance > 0.0);
  }
}

libloop::ReadingChoice choice_of(std::uint8_t byte) {
  libloop::ReadingChoice choice;
  if (byte & 1) choice.decimal = byte & 2 ? ',' : '.';
  if (byte & 4) choice.separator = byte & 8 ? ';' : '\t';
  if (byte & 16) choice.dates = libloop::DateOrder::day_first;
  if (byte & 32) choice.encoding = static_cast<libloop::Encoding>(byte >> 6);
  return choice;
}

template <class Parse>
void guarded(const Parse& parse) {
  try {
    check(parse());
  } catch (const libloop::InputError& error) {
    // Messages must come out whole, too.
    for (const libloop::Problem& problem : error.problems()) problem.describe();
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size == 0) return 0;
  const libloop::ReadingChoice choice = choice_of(data[0]);
  const std::string_view text(reinterpret_cast<const char*>(data) + 1, size - 1);
  guarded([&] { return libloop::parse_measured(text, "fuzz", choice); });
  guarded([&] { return libloop::parse_levels(text, "fuzz", choice); });
  return 0;
}
