// What to suggest for a key or a table that a file kind does not have.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "libloop/files/document.hpp"

namespace libloop::files {

// Null when there is none of that name.
const Section* find_section(const Schema& schema, std::string_view name);
const Elsewhere* find_elsewhere(const Schema& schema, std::string_view name);

bool has_text(const Section& section, std::string_view key);
const WordKey* find_words(const Section& section, std::string_view key);

// "[[fan]]", "[radiator]".
std::string bracketed(const Section& section);

// For a key that `section` does not have; `listed` says it is an entry of a list.
std::string suggest_key(const Schema& schema, const Section& section, const std::string& key,
                        bool listed);
// For a key outside every table.
std::string suggest_owner(const Schema& schema, const std::string& key);
// For a table that the schema does not have.
std::string suggest_table(const Schema& schema, const std::string& name);

}  // namespace libloop::files
