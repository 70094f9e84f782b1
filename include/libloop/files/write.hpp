// Writes the first text of a new file, for a person to go on with.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace libloop {

// A commented cooler file. Each of `given`, ("radiator.class", "240") or ("fan.count",
// "2"), becomes a line; every other row of every table a comment with its typical value,
// its range and its meaning. Throws InputError when a value cannot be set or the parts do
// not fit together; radiator.class must be given.
std::string new_cooler(const std::string& title,
                       const std::vector<std::pair<std::string, std::string>>& given);

// Writes `text` to a file that does not exist yet; the file appears whole or not at all.
// Throws InputError (code file) when it exists or cannot be written.
void write_new_file(const std::string& path, std::string_view text);

}  // namespace libloop
