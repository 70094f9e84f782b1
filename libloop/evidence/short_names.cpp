#include <algorithm>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "libloop/base/text.hpp"
#include "libloop/evidence/ranking.hpp"

namespace libloop {
namespace {

constexpr std::size_t least = 4;  // characters: fewer cannot tell many coolers apart

using Words = std::vector<std::string>;  // each with the separator behind it

bool separates(char c) { return c == ' ' || c == '_' || c == '-' || c == '/' || c == '\t'; }

Words words_of(const std::string& title) {
  Words words;
  bool inside = false;
  for (const char c : title) {
    if (separates(c)) {
      if (inside) words.back() += c == '\t' ? ' ' : c;
      inside = false;
      continue;
    }
    if (!inside) words.emplace_back();
    inside = true;
    words.back() += c;
  }
  return words;
}

std::string trimmed(std::string text) {
  while (!text.empty() && separates(text.back())) text.pop_back();
  return text;
}

std::string first_characters(const std::string& text, std::size_t most) {
  std::size_t bytes = 0, seen = 0;
  while (bytes < text.size()) {
    const bool starts = (static_cast<unsigned char>(text[bytes]) & 0xC0) != 0x80;
    if (starts && seen++ == most) break;
    ++bytes;
  }
  return text.substr(0, bytes);
}

// As it is where it fits; cut within a word it says so.
std::string cut(const std::string& text, std::size_t most) {
  if (text::width(text) <= most) return text;
  return most == 0 ? "" : trimmed(first_characters(text, most - 1)) + "…";
}

std::string joined(const Words& words) {
  std::string out;
  for (const std::string& word : words) out += word;
  return trimmed(out);
}

using Counts = std::map<std::string, int>;  // titles with a word

Counts counts_of(const std::set<std::string>& titles) {
  Counts counts;
  for (const std::string& title : titles) {
    std::set<std::string> words;
    for (const std::string& word : words_of(title)) words.insert(trimmed(word));
    for (const std::string& word : words) ++counts[word];
  }
  return counts;
}

// Whole words as far as they fit. Those that most titles have go first: what is left tells a cooler
// from the others. Of equally common ones the last goes, of those that all titles have the first.
std::string shortened(Words words, const Counts& counts, int titles, std::size_t most) {
  while (words.size() > 1 && text::width(joined(words)) > most) {
    std::size_t out = 0;
    const auto common = [&](std::size_t i) { return counts.at(trimmed(words[i])); };
    for (std::size_t i = 1; i < words.size(); ++i) {
      const bool of_all = titles > 1 && common(i) == titles;
      if (common(i) > common(out) || (common(i) == common(out) && !of_all)) out = i;
    }
    words.erase(words.begin() + static_cast<std::ptrdiff_t>(out));
  }
  return cut(joined(words), most);
}

std::string numbered(const std::string& name, std::set<std::string>& taken, std::size_t most) {
  std::string out = name;
  for (int n = 2; !taken.insert(out).second; ++n) {
    const std::string number = " " + std::to_string(n);
    const std::size_t room = most > number.size() ? most - number.size() : 0;
    out = cut(name, room) + number;
  }
  return out;
}

}  // namespace

std::vector<std::string> short_names(std::span<const std::string> titles, std::size_t most) {
  most = std::max(most, least);
  const std::set<std::string> sorted(titles.begin(), titles.end());
  const Counts counts = counts_of(sorted);
  const int titles_known = static_cast<int>(sorted.size());
  std::map<std::string, std::vector<std::string>> alike;  // titles by their first short name
  for (const std::string& title : sorted) {
    const std::string name = shortened(words_of(title), counts, titles_known, most);
    alike[name.empty() ? "untitled" : name].push_back(title);
  }
  std::map<std::string, std::string> names;  // by title
  std::set<std::string> taken;
  for (const bool alone : {true, false}) {  // who is alone keeps the plain name
    for (const auto& [name, members] : alike) {
      if ((members.size() == 1) != alone) continue;
      for (const std::string& title : members) names[title] = numbered(name, taken, most);
    }
  }
  std::vector<std::string> out;
  for (const std::string& title : titles) out.push_back(names[title]);
  return out;
}

}  // namespace libloop
