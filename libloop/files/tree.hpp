// TOML text as a tree of values with their places.
//
// The one place that knows the TOML library, so that it can be replaced, and so that its
// headers are compiled once.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "libloop/files/source.hpp"

namespace libloop::files {

struct Node;
struct Member;

struct Node {
  enum class Type { text, whole, number, flag, date, list, table };
  Type type = Type::table;
  std::string text;  // of a text its value; of other scalars what is written
  long long whole = 0;
  std::vector<Node> items;      // of a list
  std::vector<Member> members;  // of a table, in the order of their keys
  Span span;                    // of a table its header or its braces

  const Node* find(std::string_view key) const;
};

// "a text", "a plain number (3)", for messages.
std::string in_words(const Node& node);

struct Member {
  std::string key;
  Span key_span;
  Node value;
};

// Throws InputError (code syntax or duplicate) when the text is not TOML.
Node parse_tree(const Source& source);

}  // namespace libloop::files
