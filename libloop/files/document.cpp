#include "libloop/files/document.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <tuple>
#include <utility>

#include "libloop/base/text.hpp"
#include "libloop/files/hints.hpp"
#include "libloop/files/problems.hpp"
#include "libloop/files/source.hpp"
#include "libloop/files/tree.hpp"
#include "libloop/files/words.hpp"
#include "libloop/quantity/unit.hpp"

namespace libloop {
namespace {

using files::bracketed;
using files::find_elsewhere;
using files::find_section;
using files::find_words;
using files::has_text;
using files::in_words;
using files::Member;
using files::Node;
using files::Source;
using files::Span;
using files::suggest_key;
using files::suggest_owner;
using files::suggest_table;
using files::WordGroup;

constexpr std::size_t most_entries = 64;    // of one list
constexpr std::size_t longest_value = 200;  // bytes of one value's text
constexpr std::size_t longest_name = 40;    // of an entry of a list

bool is_word(std::string_view name) {
  return !name.empty() && name.size() <= longest_name &&
         std::all_of(name.begin(), name.end(), [](char c) {
           return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                  c == '_' || c == '-';
         });
}

bool is_number(std::string_view name) {
  return std::all_of(name.begin(), name.end(), [](char c) { return c >= '0' && c <= '9'; });
}

// How a value of this row is written, for suggestions.
std::string example(const Row& row) {
  switch (row.type) {
    case Row::Type::count:
      return fmt::format("Write a whole number, {} = {}.", row.name, row.number);
    case Row::Type::choice:
      return "Write " + text::list({row.words.begin(), row.words.end()}, "or") + " in quotes.";
    case Row::Type::curve:
      return fmt::format("Write points: [[\"0 {0}\", \"20 {1}\"], ...].", row.x_unit, row.y_unit);
    default:
      break;
  }
  const double typical = row.range.typical != 0.0 ? row.range.typical : 0.5 * (row.min + row.max);
  return fmt::format("Write it in quotes{}, \"{}\".", row.unit == "1" ? "" : " with its unit",
                     show(typical, row.unit));
}

class Reader {
 public:
  Reader(const Source& source, const Schema& schema) : source_(source), schema_(schema) {
    document_.file = source.file();
  }

  Document read(const Node& root) {
    refuse_other_kind(root);
    for (const Member& member : root.members) {
      if (const Section* section = find_section(schema_, member.key)) {
        read_section(*section, member, {});
      } else {
        tell_unknown_at_root(member);
      }
    }
    sort_by_place(document_.problems);
    return std::move(document_);
  }

 private:
  // One table of the file while it is read.
  struct Entry {
    const Section& section;
    std::string path;
    Sheet* sheet;  // null when the section holds texts and words only
    bool listed;   // an entry of a list, which may have a name
  };

  // ---- problems

  void tell(Code code, const Span& span, std::string message, std::string suggestion = {}) {
    if (!current_.empty()) document_.faulty.insert(current_);
    files::tell({code, std::move(message), std::move(suggestion), place(span)}, document_.problems);
  }

  // The same of a fault that leaves open which parts there are and how they are joined.
  void tell_gap(Code code, const Span& span, std::string message, std::string suggestion = {}) {
    document_.whole = false;
    tell(code, span, std::move(message), std::move(suggestion));
  }

  // Runs a step that may throw problems without a place, and gives them one.
  template <class Step>
  bool attempt(const Span& span, const Step& step) {
    try {
      step();
      return true;
    } catch (const InputError& error) {
      for (const Problem& problem : error.problems()) {
        tell(problem.code, span, problem.message, problem.suggestion);
      }
      return false;
    }
  }

  Place place(const Span& span) const { return source_.at(span.offset, span.length); }

  // ---- sections

  void refuse_other_kind(const Node& root) const {
    const Member* other = nullptr;
    const Elsewhere* elsewhere = nullptr;
    for (const Member& member : root.members) {
      if (find_section(schema_, member.key) != nullptr) return;
      const Elsewhere* found = find_elsewhere(schema_, member.key);
      if (found == nullptr) continue;
      if (other == nullptr || member.key_span.offset < other->key_span.offset) {
        other = &member;
        elsewhere = found;
      }
    }
    if (other == nullptr) return;
    throw InputError(Problem{
        Code::kind,
        fmt::format("this is a {} file, but a {} file is asked for", elsewhere->kind, schema_.kind),
        elsewhere->hint, place(other->key_span)});
  }

  // `owner` is the name of the entry that the section lies in.
  void read_section(const Section& section, const Member& member, const std::string& owner) {
    current_ = section.name;
    const Node& node = member.value;
    if (node.type == Node::Type::table) {
      if (section.form == Section::Form::list) {
        tell(Code::kind, node.span, fmt::format("{} is a list of tables", section.name),
             fmt::format("Write [[{}]], once for each.", section.name));
      }
      const bool listed = section.form == Section::Form::list;
      read_table(section, node, name_in(owner, listed && section.table == nullptr ? "1" : ""),
                 listed);
      return;
    }
    const bool tables = node.type == Node::Type::list && !node.items.empty() &&
                        std::all_of(node.items.begin(), node.items.end(), [](const Node& item) {
                          return item.type == Node::Type::table;
                        });
    if (!tables) {
      tell_gap(Code::kind, node.span,
               fmt::format("{} is a table, not {}", section.name, in_words(node)),
               fmt::format("Write {} on a line of its own, its keys below.", bracketed(section)));
      return;
    }
    if (section.form == Section::Form::one) {
      tell(Code::kind, node.items.front().span, fmt::format("{} is no list", section.name),
           fmt::format("Write [{}], once.", section.name));
      read_table(section, node.items.front(), owner, false);
      return;
    }
    read_list(section, node, owner);
  }

  static std::string name_in(const std::string& owner, const std::string& name) {
    return owner.empty() ? name : name.empty() ? owner : owner + "." + name;
  }

  void read_list(const Section& section, const Node& node, const std::string& owner) {
    if (node.items.size() > most_entries) {
      tell_gap(Code::bounds, node.items[most_entries].span,
               fmt::format("{} stands {} times", bracketed(section), node.items.size()),
               fmt::format("At most {} are read.", most_entries));
    }
    std::set<std::string> names;
    const std::size_t count = std::min(node.items.size(), most_entries);
    for (std::size_t i = 0; i < count; ++i) {
      current_ = section.name;
      const bool part = section.table != nullptr;
      std::string name = part ? read_name(section, node.items[i], names) : std::string();
      if (name.empty() && (count > 1 || !part)) name = std::to_string(i + 1);
      read_table(section, node.items[i], name_in(owner, name), true);
    }
  }

  // The name that an entry of a list gives itself, or nothing.
  std::string read_name(const Section& section, const Node& entry, std::set<std::string>& names) {
    const Node* node = entry.find("name");
    if (node == nullptr) return {};
    if (node->type != Node::Type::text) {
      tell_gap(Code::kind, node->span, fmt::format("a name is a text, not {}", in_words(*node)),
               "Write it in quotes.");
      return {};
    }
    const std::string& name = node->text;
    if (!is_word(name) || is_number(name) || name == "in" || name == "out") {
      tell_gap(Code::kind, node->span,
               fmt::format("'{}' cannot be a name", text::cut(name, longest_name)),
               fmt::format("A name has up to {} letters, figures, '_' or '-', is no number and "
                           "neither 'in' nor 'out'.",
                           longest_name));
      return {};
    }
    if (find_section(schema_, section.name + "." + name) != nullptr) {
      tell_gap(Code::conflict, node->span,
               fmt::format("'{}' is a table of {}, so it cannot be a name", name, section.name),
               "Choose another name.");
      return {};
    }
    if (section.table->find(name) != nullptr) {
      tell_gap(Code::conflict, node->span,
               fmt::format("'{}' is a quantity of {}, so it cannot be a name", name, section.name),
               "Choose another name.");
      return {};
    }
    if (!names.insert(name).second) {
      tell_gap(Code::duplicate, node->span,
               fmt::format("two entries of {} are called '{}'", section.name, name),
               "Give each its own name.");
      return {};
    }
    return name;
  }

  void read_table(const Section& section, const Node& node, const std::string& name, bool listed) {
    std::optional<Sheet> sheet;
    if (section.table != nullptr) sheet.emplace(*section.table, name);
    const std::string path = name.empty() ? section.name : section.name + "." + name;
    document_.places[path] = place(node.span);
    const Entry entry{section, path, sheet ? &*sheet : nullptr, listed};
    const auto inner = [&](const Member& member) {
      return find_section(schema_, section.name + "." + member.key);
    };
    for (const Member& member : node.members) {
      current_ = path;
      if (inner(member) == nullptr) read_member(entry, member);
    }
    if (sheet) document_.sheets.push_back(std::move(*sheet));
    for (const Member& member : node.members) {
      if (const Section* lies_in = inner(member)) read_section(*lies_in, member, name);
    }
  }

  void read_member(const Entry& entry, const Member& member) {
    if (has_text(entry.section, member.key)) return read_text(entry, member);
    if (const WordKey* key = find_words(entry.section, member.key)) {
      return read_words(entry, *key, member.value);
    }
    const std::string path = entry.path + "." + member.key;
    const bool named = member.key == "name" && entry.listed && entry.sheet != nullptr;
    if (named) {
      document_.places[path] = place(member.value.span);
      return;
    }
    const Row* row = entry.sheet != nullptr ? entry.sheet->table().find(member.key) : nullptr;
    if (row == nullptr) return tell_unknown_key(entry, member);
    document_.places[path] = place(member.value.span);
    read_value(*entry.sheet, *row, member.value);
    // A count says how many parts there are to join.
    const bool counts = row->type == Row::Type::count;
    if (counts && !entry.sheet->given(row->name)) document_.whole = false;
  }

  void read_text(const Entry& entry, const Member& member) {
    if (member.value.type != Node::Type::text) {
      tell(Code::kind, member.value.span,
           fmt::format("{} is a text, not {}", member.key, in_words(member.value)),
           "Write it in quotes.");
      return;
    }
    document_.texts[entry.path + "." + member.key] = member.value.text;
  }

  void read_words(const Entry& entry, const WordKey& key, const Node& node) {
    const std::string path = entry.path + "." + key.name;
    document_.places[path] = place(node.span);
    const std::vector<WordGroup> groups = files::read_words(
        key, node, [&](Code code, const Span& span, std::string message, std::string suggestion) {
          tell_gap(code, span, std::move(message), std::move(suggestion));
        });
    Words& words = document_.words[path];
    for (const WordGroup& group : groups) {
      words.push_back(group.words);
      const std::string at = fmt::format("{}.{}", path, words.size());
      document_.places[at] = place(group.span);
      for (std::size_t i = 0; i < group.spans.size(); ++i) {
        document_.places[fmt::format("{}.{}", at, i + 1)] = place(group.spans[i]);
      }
    }
  }

  // ---- values

  void read_value(Sheet& sheet, const Row& row, const Node& node) {
    switch (node.type) {
      case Node::Type::text:
        if (short_enough(row, node)) {
          attempt(node.span, [&] { sheet.set(row.name, node.text); });
        }
        return;
      case Node::Type::whole:
        attempt(node.span, [&] { sheet.set_count(row.name, node.whole); });
        return;
      case Node::Type::table:
        return read_range(sheet, row, node);
      case Node::Type::list:
        return read_curve(sheet, row, node);
      default:
        return tell_wrong_kind(row, node);
    }
  }

  bool short_enough(const Row& row, const Node& node) {
    if (node.text.size() <= longest_value) return true;
    tell(Code::kind, node.span, fmt::format("{} is a text of {} bytes", row.name, node.text.size()),
         example(row));
    return false;
  }

  void tell_wrong_kind(const Row& row, const Node& node) {
    const bool number = node.type == Node::Type::number;
    if (number && node.text.find_first_of("ni") != std::string::npos) {  // nan, inf
      return tell(Code::kind, node.span, fmt::format("{} cannot be {}", row.name, node.text),
                  example(row));
    }
    const bool quantity = row.continuous() || row.type == Row::Type::nominal;
    if (!number || !quantity) {
      return tell(Code::kind, node.span, fmt::format("{} is {}", row.name, in_words(node)),
                  example(row));
    }
    const std::string written(text::cut(node.text, longest_name));
    tell(Code::unit, node.span, fmt::format("{} is {}", row.name, in_words(node)),
         row.unit == "1"
             ? fmt::format("Write it in quotes, \"{}\".", written)
             : fmt::format("Write it in quotes with its unit, \"{} {}\".", written, row.unit));
  }

  // A text with a number and its unit, as a cell of a range or of a curve.
  std::optional<double> read_cell(const Row& row, const Node& cell, const std::string& unit) {
    if (cell.type != Node::Type::text || cell.text.size() > longest_value) {
      const bool number = cell.type == Node::Type::number || cell.type == Node::Type::whole;
      tell(number ? Code::unit : Code::kind, cell.span,
           fmt::format("{} holds {}", row.name, in_words(cell)),
           unit == "1" ? "Write a number in quotes, \"1.2\"."
                       : fmt::format("Write a number with its unit in quotes, \"12 {}\".", unit));
      return std::nullopt;
    }
    std::optional<double> value;
    attempt(cell.span, [&] { value = parse_value(cell.text, unit); });
    return value;
  }

  void read_range(Sheet& sheet, const Row& row, const Node& node) {
    if (!row.continuous()) {
      tell(Code::kind, node.span, fmt::format("{} cannot be a range", row.name), example(row));
      return;
    }
    static const std::vector<std::string> words{"typical", "low", "high"};
    bool whole = true;
    for (const Member& member : node.members) {
      if (std::count(words.begin(), words.end(), member.key) > 0) continue;
      std::string suggestion = text::did_you_mean(member.key, words);
      if (suggestion.empty()) suggestion = "A range has typical, low and high.";
      tell(Code::unknown, member.key_span,
           fmt::format("a range has no '{}'", text::cut(member.key, longest_name)), suggestion);
      whole = false;
    }
    std::optional<double> values[3];
    for (std::size_t i = 0; i < words.size(); ++i) {
      const Node* cell = node.find(words[i]);
      if (cell == nullptr) {
        tell(Code::missing, node.span, fmt::format("the range of {} has no {}", row.name, words[i]),
             "A range has typical, low and high: the median, the 5 and the 95 % point.");
      } else {
        values[i] = read_cell(row, *cell, row.unit);
      }
    }
    if (!whole || !values[0] || !values[1] || !values[2]) return;
    attempt(node.span, [&] { sheet.set(row.name, Range{*values[1], *values[0], *values[2]}); });
  }

  void read_curve(Sheet& sheet, const Row& row, const Node& node) {
    if (row.type != Row::Type::curve) {
      tell(Code::kind, node.span, fmt::format("{} is one value, not a list", row.name),
           example(row));
      return;
    }
    Points points;
    bool whole = true;
    for (const Node& point : node.items) {
      if (point.type != Node::Type::list || point.items.size() != 2) {
        tell(Code::kind, point.span, fmt::format("a point of {} is a list of two values", row.name),
             example(row));
        whole = false;
        continue;
      }
      const std::optional<double> x = read_cell(row, point.items[0], row.x_unit);
      const std::optional<double> y = read_cell(row, point.items[1], row.y_unit);
      if (x && y) {
        points.emplace_back(*x, *y);
      } else {
        whole = false;
      }
    }
    if (!whole) return;
    const std::optional<std::size_t> fault = faulty_point(points);
    const bool mark = fault && points.size() >= 3;
    attempt(mark ? node.items[*fault].span : node.span, [&] { sheet.set_curve(row.name, points); });
  }

  // ---- unknown keys and tables

  void tell_unknown_key(const Entry& entry, const Member& member) {
    if (!entry.section.words.empty()) document_.whole = false;
    const bool can_be_named = entry.listed && entry.sheet != nullptr;
    tell(Code::unknown, member.key_span,
         fmt::format("{} has no '{}'", entry.section.name, text::cut(member.key, longest_name)),
         suggest_key(schema_, entry.section, member.key, can_be_named));
  }

  void tell_unknown_at_root(const Member& member) {
    current_.clear();
    const std::string_view shown = text::cut(member.key, longest_name);
    const Node& node = member.value;
    const bool list = node.type == Node::Type::list && !node.items.empty() &&
                      node.items.front().type == Node::Type::table;
    if (list || node.type == Node::Type::table) {
      tell_gap(Code::unknown, list ? node.items.front().span : node.span,
               fmt::format("a {} file has no table '{}'", schema_.kind, shown),
               suggest_table(schema_, member.key));
    } else {
      tell_gap(Code::unknown, member.key_span, fmt::format("'{}' stands before any table", shown),
               suggest_owner(schema_, member.key));
    }
  }

  const Source& source_;
  const Schema& schema_;
  Document document_;
  std::string current_;  // path of the table being read
};

}  // namespace

Document read_document(std::string_view text, const std::string& file, const Schema& schema) {
  const Source source(text, file);
  return Reader(source, schema).read(files::parse_tree(source));
}

void sort_by_place(std::vector<Problem>& problems) {
  const auto key = [](const Problem& problem) {
    const bool nowhere = problem.place.line == 0;
    return std::make_tuple(nowhere, problem.place.line, problem.place.column);
  };
  std::stable_sort(problems.begin(), problems.end(),
                   [&](const Problem& a, const Problem& b) { return key(a) < key(b); });
}

}  // namespace libloop
