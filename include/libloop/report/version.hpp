// The version of the library, as reports state it.
#pragma once

#include <string_view>

namespace libloop {

std::string_view version();  // "0.1.0"

}  // namespace libloop
