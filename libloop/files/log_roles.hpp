// What the words of a heading say, each for itself.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace libloop::files {

// What a word can say.
namespace role {
enum Role : std::uint32_t {
  chip = 1u << 0,
  ambient = 1u << 1,
  coolant = 1u << 2,
  hot = 1u << 3,
  cold = 1u << 4,
  fan = 1u << 5,
  pump = 1u << 6,
  load = 1u << 7,
  preset = 1u << 8,
  temperature = 1u << 9,
  power = 1u << 10,
  speed = 1u << 11,
  share = 1u << 12,
  flow = 1u << 13,
  sound = 1u << 14,
  air = 1u << 15,
  in = 1u << 16,
  out = 1u << 17,
  radiator = 1u << 18,
  plate = 1u << 19,
  time = 1u << 20,
  date = 1u << 21,
  other = 1u << 22,  // makes the column something else
  neutral = 1u << 23,
};
}  // namespace role

// Of all words together; words written in one ("raumtemperatur") are taken apart.
std::uint32_t roles_of(const std::vector<std::string>& words);

}  // namespace libloop::files
