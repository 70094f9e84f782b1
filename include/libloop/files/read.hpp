// Reads cooler and bench files (docs/files.md).
//
//   const libloop::Cooler cooler = libloop::read_cooler("my.toml");
//
// Every fault throws InputError, with all problems of the file at once: what cannot be
// read, what is missing, what does not fit together.
#pragma once

#include <string>
#include <string_view>

#include "libloop/model/cooler.hpp"

namespace libloop {

Cooler read_cooler(const std::string& path);
Bench read_bench(const std::string& path);

// The same from text; `file` is only what messages call it.
Cooler parse_cooler(std::string_view text, const std::string& file);
Bench parse_bench(std::string_view text, const std::string& file);

}  // namespace libloop
