// Owners of a time constant in groups that a tester thinks in, and in words.
#pragma once

#include <string>
#include <string_view>

#include "libloop/warmup/modes.hpp"

namespace libloop::report {

// Of stores: "the coolant", "the metal it wets", "the chip", "the frame", "board and surroundings",
// "the rest"; of carries: "fins and air flow", "tubes and coolant flow", "plate, paste and chip",
// "leakage", "the frame", "losses past the radiator", "the surroundings", "the rest".
std::string_view store_group(std::string_view name);
std::string_view carry_group(std::string_view name);

// "coolant in the core of radiator 31 %, ..., other 4 %"; those below 3 % are other. Carries are
// told by how much they shorten the time constant: with the sign turned.
std::string store_words(const SlowMode& mode);
std::string carry_words(const SlowMode& mode);

// "Heat leaves the coolant (52 %) and the metal it wets (33 %) through fins and air flow (79 %).
// Plate, paste and chip own 2 %: ..." Empty where a mode has no owners.
std::string owner_sentences(const SlowMode& mode);

}  // namespace libloop::report
