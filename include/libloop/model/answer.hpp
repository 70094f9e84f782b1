// What a model answers: names, units and sentences, declared once.
#pragma once

#include <array>
#include <string_view>

namespace libloop {

enum class Answer { rise, coolant_rise, coolant_flow, air_flow, conductance, noise };

struct AnswerRow {
  Answer answer;
  std::string_view key;   // in JSON and CSV, with its unit
  std::string_view name;  // for people
  std::string_view unit;  // for people; "dBA" is already in dB
  std::string_view meaning;
};

inline constexpr std::array<AnswerRow, 6> answer_rows = {{
    {Answer::rise, "rise_K", "rise", "K", "Chip reading less ambient, as the sensors see them."},
    {Answer::coolant_rise, "coolant_rise_K", "coolant rise", "K",
     "Mean coolant in the radiators less the air that enters them."},
    {Answer::coolant_flow, "coolant_flow_L_per_min", "coolant flow", "L/min",
     "Coolant through the first chip's plate."},
    {Answer::air_flow, "air_flow_m3_per_h", "air flow", "m3/h",
     "Air through the fans of the radiators; rows in series count once."},
    {Answer::conductance, "radiator_conductance_W_per_K", "radiator conductance", "W/K",
     "Heat from core to air over the coolant rise."},
    {Answer::noise, "noise_dBA", "noise", "dBA",
     "Sound pressure level of fans, pump and room at the microphone."},
}};
inline constexpr std::size_t answer_count = answer_rows.size();

// The budget: every kelvin between ambient and reading, in the order heat climbs down.
struct BudgetRow {
  std::string_view key;   // "cold_coolant"
  std::string_view name;  // "cold coolant over ambient"
};

inline constexpr std::array<BudgetRow, 12> budget_rows = {{
    {"surroundings", "warmed surroundings"},
    {"cold_coolant", "cold coolant over air"},
    {"coolant_warming", "warming of the coolant"},
    {"convection", "convection in the plate"},
    {"base", "base of the plate"},
    {"paste", "paste"},
    {"spreader", "spreader, straight through"},
    {"spreading", "spreading under the dies"},
    {"solder", "solder"},
    {"die", "silicon"},
    {"hottest", "hottest point over mean"},
    {"sensor", "sensors"},
}};

}  // namespace libloop
