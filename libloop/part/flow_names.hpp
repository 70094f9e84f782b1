// What the capacity flows of coolant and air are called as conductances: the names of their
// streams, and "flow".
#pragma once

namespace libloop::named {

inline constexpr const char* coolant_flow = "coolant flow";
inline constexpr const char* air_flow = "air flow";

}  // namespace libloop::named
