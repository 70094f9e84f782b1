#include "libloop/files/hints.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <utility>

#include "libloop/base/text.hpp"

namespace libloop::files {
namespace {

std::string leaf(const std::string& name) { return name.substr(name.rfind('.') + 1); }

bool has_key(const Section& section, std::string_view key) {
  return has_text(section, key) || find_words(section, key) != nullptr ||
         (section.table != nullptr && section.table->find(key) != nullptr);
}

std::vector<std::string> keys_of(const Schema& schema, const Section& section, bool listed) {
  std::vector<std::string> keys = section.texts;
  if (listed) keys.emplace_back("name");
  for (const WordKey& words : section.words) keys.push_back(words.name);
  if (section.table != nullptr) {
    for (const Row& row : section.table->rows) keys.push_back(row.name);
  }
  for (const Section& inner : schema.sections) {
    if (inner.name == section.name + "." + leaf(inner.name)) keys.push_back(leaf(inner.name));
  }
  return keys;
}

// "fin_density belongs to [radiator].", or an empty text.
std::string owners(const Schema& schema, const std::string& key) {
  std::vector<std::string> found;
  for (const Section& section : schema.sections) {
    if (has_key(section, key)) found.push_back(bracketed(section));
  }
  if (found.empty()) return {};
  return fmt::format("{} belongs to {}.", key, text::list(found, "or"));
}

// The nearest key of any table, with its table.
std::string near_anywhere(const Schema& schema, const std::string& key) {
  std::vector<std::string> all;
  for (const Section& section : schema.sections) {
    for (std::string& each : keys_of(schema, section, false)) all.push_back(std::move(each));
  }
  const std::optional<std::string> nearest = text::nearest(key, all);
  if (!nearest) return {};
  return std::string(
      text::trim(fmt::format("Did you mean '{}'? {}", *nearest, owners(schema, *nearest))));
}

std::string near_table(const Schema& schema, const std::string& name) {
  std::vector<std::string> leaves;
  for (const Section& section : schema.sections) leaves.push_back(leaf(section.name));
  const std::optional<std::string> nearest = text::nearest(name, leaves);
  for (const Section& section : schema.sections) {
    if (leaf(section.name) == nearest) return fmt::format("Did you mean {}?", bracketed(section));
  }
  return {};
}

std::string table_list(const Schema& schema) {
  std::vector<std::string> names;
  for (const Section& section : schema.sections) names.push_back(bracketed(section));
  return fmt::format("A {} file has {}.", schema.kind, text::list(names));
}

// The first of them that says something.
std::string first_of(std::initializer_list<std::string> suggestions) {
  for (const std::string& suggestion : suggestions) {
    if (!suggestion.empty()) return suggestion;
  }
  return {};
}

}  // namespace

const Section* find_section(const Schema& schema, std::string_view name) {
  for (const Section& section : schema.sections) {
    if (section.name == name) return &section;
  }
  return nullptr;
}

const Elsewhere* find_elsewhere(const Schema& schema, std::string_view name) {
  for (const Elsewhere& other : schema.elsewhere) {
    if (other.name == name) return &other;
  }
  return nullptr;
}

bool has_text(const Section& section, std::string_view key) {
  return std::find(section.texts.begin(), section.texts.end(), key) != section.texts.end();
}

const WordKey* find_words(const Section& section, std::string_view key) {
  for (const WordKey& words : section.words) {
    if (words.name == key) return &words;
  }
  return nullptr;
}

std::string bracketed(const Section& section) {
  const std::string once = "[" + section.name + "]";
  return section.form == Section::Form::list ? "[" + once + "]" : once;
}

std::string suggest_key(const Schema& schema, const Section& section, const std::string& key,
                        bool listed) {
  if (key == "name" && section.form == Section::Form::either) {
    return fmt::format("Only an entry of a list has a name; write [[{}]].", section.name);
  }
  const std::vector<std::string> known = keys_of(schema, section, listed);
  return first_of({owners(schema, key), text::did_you_mean(key, known), near_anywhere(schema, key),
                   "It has: " + text::list(known) + "."});
}

std::string suggest_owner(const Schema& schema, const std::string& key) {
  return first_of({owners(schema, key), near_anywhere(schema, key), table_list(schema)});
}

std::string suggest_table(const Schema& schema, const std::string& name) {
  if (const Elsewhere* other = find_elsewhere(schema, name)) return other->hint;
  return first_of({near_table(schema, name), table_list(schema)});
}

}  // namespace libloop::files
