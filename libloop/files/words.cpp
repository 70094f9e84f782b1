#include "libloop/files/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "libloop/base/text.hpp"

namespace libloop::files {
namespace {

constexpr std::size_t most_words = 256;  // and joins, of one list
constexpr std::size_t longest_word = 200;
constexpr std::size_t longest_shown = 40;

bool is_plain(const std::string& word) {
  return std::all_of(word.begin(), word.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' ||
           c == '-' || c == '.';
  });
}

class WordReader {
 public:
  WordReader(const WordKey& key, const Tell& tell) : key_(key), tell_(tell) {}

  std::vector<WordGroup> read(const Node& node) {
    if (key_.shape == WordKey::Shape::one) return {group({&node}, node.span)};
    if (node.type != Node::Type::list) {
      fail(Code::kind, node.span,
           fmt::format("{} is a list{}, not {}", key_.name,
                       key_.shape == WordKey::Shape::rows ? " of lists" : " of names",
                       in_words(node)));
      return {};
    }
    if (node.items.empty()) {
      tell_(Code::missing, node.span, fmt::format("{} is empty", key_.name),
            fmt::format("Write {}, or leave it out.", key_.example));
      return {};
    }
    if (key_.shape == WordKey::Shape::rows && no_list_in(node)) {
      fail(Code::kind, node.span, fmt::format("each entry of {} is a list of its own", key_.name));
      return {};
    }
    std::vector<WordGroup> groups;
    for (const Node* item : some_of(node)) groups.push_back(entry(*item));
    return groups;
  }

 private:
  void fail(Code code, const Span& span, std::string message) {
    tell_(code, span, std::move(message), fmt::format("Write {}.", key_.example));
  }

  static bool no_list_in(const Node& node) {
    return std::none_of(node.items.begin(), node.items.end(),
                        [](const Node& item) { return item.type == Node::Type::list; });
  }

  // As many items of a list as are read.
  std::vector<const Node*> some_of(const Node& list) {
    if (list.items.size() > most_words) {
      tell_(Code::bounds, list.items[most_words].span,
            fmt::format("a list of {} entries in {}", list.items.size(), key_.name),
            fmt::format("At most {} are read.", most_words));
    }
    std::vector<const Node*> items;
    for (std::size_t i = 0; i < std::min(list.items.size(), most_words); ++i) {
      items.push_back(&list.items[i]);
    }
    return items;
  }

  WordGroup entry(const Node& item) {
    if (item.type == Node::Type::list) {
      if (item.items.empty()) {
        fail(Code::missing, item.span, fmt::format("an entry of {} is empty", key_.name));
      }
      return group(some_of(item), item.span);
    }
    if (key_.shape == WordKey::Shape::row) return group({&item}, item.span);
    fail(Code::kind, item.span,
         fmt::format("an entry of {} is a list, not {}", key_.name, in_words(item)));
    return {item.span, {}, {}};
  }

  WordGroup group(const std::vector<const Node*>& nodes, const Span& span) {
    WordGroup made{span, {}, {}};
    for (const Node* node : nodes) {
      if (!check(*node)) continue;
      made.words.push_back(node->text);
      made.spans.push_back(node->span);
    }
    return made;
  }

  bool check(const Node& node) {
    if (node.type != Node::Type::text) {
      fail(Code::kind, node.span,
           fmt::format("{} {} {}", key_.name,
                       key_.shape == WordKey::Shape::one ? "is a name, not" : "holds names, not",
                       in_words(node)));
      return false;
    }
    const std::string& word = node.text;
    if (word.empty()) {
      fail(Code::missing, node.span, fmt::format("an empty name in {}", key_.name));
      return false;
    }
    if (!is_plain(word) || word.size() > longest_word) {
      tell_(Code::kind, node.span,
            fmt::format("'{}' names no part and no place", text::cut(word, longest_shown)),
            fmt::format("Names in {} have up to {} letters, figures, '_', '-' and '.'.", key_.name,
                        longest_word));
      return false;
    }
    return true;
  }

  const WordKey& key_;
  const Tell& tell_;
};

}  // namespace

std::vector<WordGroup> read_words(const WordKey& key, const Node& node, const Tell& tell) {
  return WordReader(key, tell).read(node);
}

}  // namespace libloop::files
