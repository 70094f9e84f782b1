#include "libloop/evidence/levels.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/error.hpp"
#include "libloop/base/text.hpp"
#include "libloop/evidence/budget.hpp"

namespace libloop {
namespace {

constexpr double margin = 3.0;        // dB; nearer to the room or the floor is a bound
constexpr double room_wanders = 1.0;  // dB, by which a room may change meanwhile: judgement
constexpr double one_speed = 0.02;    // fans within so much run at one speed: judgement

double energy(double level) { return std::pow(10.0, level / 10.0); }
double level_of(double energy) { return 10.0 * std::log10(energy); }

// One reading without the room, at the wanted distance.
struct Cleaned {
  double level = 0.0;
  double u = 0.0;  // of the room taken off
  bool bound = false;
  std::vector<std::string> notes;
};

Cleaned cleaned(const LevelReading& reading, const Instruments<double>& meter,
                const LevelOptions& options) {
  Cleaned result{.level = reading.level, .u = 0.0, .bound = false, .notes = {}};
  const std::optional<double> room = reading.background ? reading.background : options.background;
  if (reading.level - meter.level_floor.value < margin) {
    result.bound = true;
    result.notes.push_back(fmt::format("Read within {} dB of the meter's floor: an upper bound.",
                                       text::number(margin)));
  } else if (room && reading.level - *room < margin) {
    result.bound = true;
    result.notes.push_back(
        fmt::format("Read within {} dB of the room: an upper bound.", text::number(margin)));
  } else if (room) {
    const double share = energy(*room - reading.level);
    result.level = level_of(energy(reading.level) - energy(*room));
    result.u = rectangular(room_wanders) * share / (1.0 - share);
  } else {
    result.notes.push_back("The room's level is not known and not taken off.");
  }
  const std::optional<double> distance = reading.distance ? reading.distance : options.read_at;
  if (distance) {
    result.level += 20.0 * std::log10(*distance / options.distance);
  } else {
    result.notes.push_back(fmt::format("The distance is not known; {} m are assumed.",
                                       text::number(options.distance)));
  }
  return result;
}

double mean_energy(const std::vector<const Cleaned*>& all) {
  double sum = 0.0;
  for (const Cleaned* one : all) sum += energy(one->level) / static_cast<double>(all.size());
  return level_of(sum);
}

// Of the mean, by how its readings differ.
double u_repeated(const std::vector<const Cleaned*>& all, double mean) {
  if (all.size() < 2) return 0.0;
  const double n = static_cast<double>(all.size());
  double squares = 0.0;
  for (const Cleaned* one : all) squares += std::pow(one->level - mean, 2);
  return std::sqrt(squares / (n - 1.0) / n);
}

void add_notes(Level& level, const std::vector<const Cleaned*>& used) {
  for (const Cleaned* one : used) {
    for (const std::string& note : one->notes) {
      if (std::find(level.notes.begin(), level.notes.end(), note) == level.notes.end()) {
        level.notes.push_back(note);
      }
    }
  }
}

// Readings at one speed: values where there are any, else bounds.
Level averaged(const std::vector<Cleaned>& all, const Instruments<double>& meter) {
  std::vector<const Cleaned*> values, bounds;
  for (const Cleaned& one : all) (one.bound ? bounds : values).push_back(&one);
  const std::vector<const Cleaned*>& used = values.empty() ? bounds : values;
  Level level;
  level.bound = values.empty();
  level.readings = static_cast<int>(used.size());
  level.level = mean_energy(used);
  double room = 0.0;  // one room behind all: its doubts go together
  for (const Cleaned* one : used) room += one->u / static_cast<double>(used.size());
  level.u = std::hypot(rectangular(meter.level.value), room, u_repeated(used, level.level));
  add_notes(level, used);
  if (!values.empty() && !bounds.empty()) {
    level.notes.push_back(
        fmt::format("{} of {} readings were bounds and are not used.", bounds.size(), all.size()));
  }
  return level;
}

struct Speed {
  std::optional<double> share, speed;
};

// Shares are set and compared first; speeds are measured.
bool alike(const Speed& a, const LevelReading& b) {
  const auto near = [](const std::optional<double>& x, const std::optional<double>& y, double by) {
    return x.has_value() == y.has_value() &&
           (!x || std::abs(*x - *y) <= by * std::max(std::abs(*x), std::abs(*y)));
  };
  if (a.share || b.fan_share) return near(a.share, b.fan_share, 1e-6);
  return near(a.speed, b.fan_speed, one_speed);
}

double order(const LevelReading& r) {
  return r.fan_share ? *r.fan_share : r.fan_speed ? *r.fan_speed : -1.0;
}

std::vector<LevelReading> sorted(std::vector<LevelReading> readings) {
  std::stable_sort(readings.begin(), readings.end(),
                   [](const LevelReading& a, const LevelReading& b) {
                     if (a.fan_share.has_value() != b.fan_share.has_value()) {
                       return !a.fan_share.has_value();
                     }
                     return order(a) < order(b);
                   });
  return readings;
}

void check_distance(const std::optional<double>& distance) {
  if (!distance || (*distance > 0.0 && std::isfinite(*distance))) return;
  refuse(Code::bounds, fmt::format("A distance of {} m.", text::number(*distance)),
         "Distances lie above 0 m.");
}

void check_level(const std::optional<double>& level, std::string_view which) {
  if (!level || std::abs(*level) <= 200.0) return;
  refuse(Code::bounds, fmt::format("{} is {} dBA.", which, text::number(*level)),
         "Levels lie between -200 and 200 dBA; leave rows without one out.");
}

void check(const LevelTable& table, const Instruments<double>& meter, const LevelOptions& options) {
  check_distance(options.distance);
  check_distance(options.read_at);
  check_level(options.background, "The background");
  check_level(meter.level_floor.value, "The meter's floor");
  for (const LevelReading& one : table.readings) {
    check_distance(one.distance);
    check_level(one.level, fmt::format("The level of line {}", one.line));
    check_level(one.background, fmt::format("The background of line {}", one.line));
  }
}

}  // namespace

std::vector<Level> levels(const LevelTable& table, const Instruments<double>& instruments,
                          const LevelOptions& options) {
  check(table, instruments, options);
  const std::vector<LevelReading> readings = sorted(table.readings);
  std::vector<Level> all;
  for (std::size_t i = 0; i < readings.size();) {
    const Speed first{readings[i].fan_share, readings[i].fan_speed};
    std::vector<Cleaned> alike_ones;
    double speeds = 0.0, with_speed = 0.0;
    for (; i < readings.size() && alike(first, readings[i]); ++i) {
      alike_ones.push_back(cleaned(readings[i], instruments, options));
      if (readings[i].fan_speed) speeds += *readings[i].fan_speed, with_speed += 1.0;
    }
    Level level = averaged(alike_ones, instruments);
    level.fan_share = first.share;
    if (with_speed > 0.0) level.fan_speed = speeds / with_speed;
    all.push_back(std::move(level));
  }
  return all;
}

}  // namespace libloop
