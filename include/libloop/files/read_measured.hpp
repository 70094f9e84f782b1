// Reads the tester's tables: measured points of coolers, and sound levels by fan speed
// (docs/files.md, "Measured tables" and "Sound levels").
//
// Cells are read as those of logs: files/tolerant.hpp. A row that cannot be used is counted and
// told with its line; a file without any usable row throws InputError.
#pragma once

#include <string>
#include <string_view>

#include "libloop/evidence/levels.hpp"
#include "libloop/evidence/measured.hpp"
#include "libloop/files/tolerant.hpp"

namespace libloop {

MeasuredTable read_measured(const std::string& path, const ReadingChoice& choice = {});
MeasuredTable parse_measured(std::string_view bytes, const std::string& file,
                             const ReadingChoice& choice = {});

LevelTable read_levels(const std::string& path, const ReadingChoice& choice = {});
LevelTable parse_levels(std::string_view bytes, const std::string& file,
                        const ReadingChoice& choice = {});

}  // namespace libloop
