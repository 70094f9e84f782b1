// Guards the TOML library: it calls itself once a level of nesting, and its time grows with
// values and lengths of lines.
#pragma once

#include "libloop/files/source.hpp"

namespace libloop::files {

// Throws InputError (code syntax) when TOML text nests too deep or holds too many values.
void check_nesting(const Source& source);

}  // namespace libloop::files
