#include "libloop/evidence/channel.hpp"

namespace libloop {
namespace {

constexpr double zero_celsius = 273.15;  // K

constexpr std::array<DeclaredChannel, channel_count> all{{
    {Channel::chip, "chip", "C", zero_celsius - 60, zero_celsius + 150,
     "Temperature of the chip, as its sensor reads it."},
    {Channel::ambient, "ambient", "C", zero_celsius - 40, zero_celsius + 80,
     "Air at the intake of the radiator."},
    {Channel::load, "load", "W", 0, 5000, "Power that the bench reads."},
    {Channel::preset, "preset", "W", 0, 5000, "Power that was asked for."},
    {Channel::fan_speed, "fan_speed", "rpm", 0, 500, "Speed of the fans."},
    {Channel::fan_share, "fan", "%", 0, 1.5, "Speed of the fans, of their rated speed."},
    {Channel::pump_speed, "pump_speed", "rpm", 0, 500, "Speed of the pump."},
    {Channel::pump_share, "pump", "%", 0, 1.5, "Speed of the pump, of its rated speed."},
    {Channel::coolant, "coolant", "C", zero_celsius - 40, zero_celsius + 120,
     "Coolant, at one place of the loop."},
    {Channel::coolant_hot, "coolant_hot", "C", zero_celsius - 40, zero_celsius + 120,
     "Coolant from the cold plate to the radiator."},
    {Channel::coolant_cold, "coolant_cold", "C", zero_celsius - 40, zero_celsius + 120,
     "Coolant from the radiator to the cold plate."},
    {Channel::flow, "flow", "L/min", 0, 0.01, "Coolant flow."},
    {Channel::sound, "sound", "dBA", -10, 150, "Sound pressure level."},
}};

}  // namespace

const std::array<DeclaredChannel, channel_count>& channels() { return all; }

const DeclaredChannel& declared(Channel channel) { return all[static_cast<std::size_t>(channel)]; }

}  // namespace libloop
