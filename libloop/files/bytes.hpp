// The bytes of a file.
#pragma once

#include <string>

namespace libloop::files {

// Of a file beyond `mebibytes` only the start, which is one byte more than may be: whoever
// parses it says that it is too large. Throws InputError (code file) when it cannot be read.
std::string bytes_of(const std::string& path, std::size_t mebibytes = 1);

}  // namespace libloop::files
