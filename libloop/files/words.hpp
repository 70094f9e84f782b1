// Reads words: names of parts, of their ports, of places, alone or in lists.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "libloop/files/document.hpp"
#include "libloop/files/tree.hpp"

namespace libloop::files {

// Takes a problem: code, place, message, suggestion.
using Tell = std::function<void(Code, const Span&, std::string, std::string)>;

// Words of one entry of a list, with the place of each.
struct WordGroup {
  Span span;
  std::vector<std::string> words;
  std::vector<Span> spans;
};

// The entries of `node`, which is the value of `key`; of a single word one entry. What is
// no word is told and left out.
std::vector<WordGroup> read_words(const WordKey& key, const Node& node, const Tell& tell);

}  // namespace libloop::files
