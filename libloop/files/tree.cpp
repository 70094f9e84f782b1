#include "libloop/files/tree.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <exception>
#include <map>
#include <optional>
#include <sstream>
#include <toml.hpp>

#include "libloop/base/text.hpp"
#include "libloop/files/nesting.hpp"

namespace libloop::files {
namespace {

using Value = toml::basic_value<toml::discard_comments, std::map, std::vector>;

constexpr std::size_t longest_shown = 40;  // of a value in a message

// Bytes of the source a value was read from. toml::location() would give line and column
// too, but counts lines from the start of the file at every call.
Span span_of(const Value& value) {
  const auto* region = dynamic_cast<const toml::detail::region*>(toml::detail::get_region(value));
  if (region == nullptr) return {};
  return {static_cast<std::size_t>(region->first() - region->begin()), region->size()};
}

// The key of a value: the last text like it on the line before the value. A key that is
// written with escapes is not found; then the value stands for it.
Span key_span_of(std::string_view text, const std::string& key, const Span& value) {
  const std::size_t line = text.rfind('\n', value.offset) + 1;  // npos + 1 is 0
  if (value.offset < line) return value;
  const std::string_view before = text.substr(line, value.offset - line);
  const std::size_t found = before.rfind(key);
  if (found != std::string_view::npos && !key.empty()) return {line + found, key.size()};
  return value;
}

// Escapes can write characters that the source itself may not hold.
void check_escapes(const Source& source, const std::string& text, const Span& span) {
  if (text::first_bad_byte(text)) {
    fail(source, Code::syntax, span, "an escape in this text makes a control character",
         "Write printable text.");
  }
}

class Converter {
 public:
  explicit Converter(const Source& source) : source_(source) {}

  Node node(const Value& value) const {
    Node made;
    made.span = span_of(value);
    made.text = std::string_view(source_.text()).substr(made.span.offset, made.span.length);
    switch (value.type()) {
      case toml::value_t::string:
        made.type = Node::Type::text;
        made.text = value.as_string().str;
        check_escapes(source_, made.text, made.span);
        break;
      case toml::value_t::integer:
        made.type = Node::Type::whole;
        made.whole = value.as_integer();
        break;
      case toml::value_t::floating:
        made.type = Node::Type::number;
        break;
      case toml::value_t::boolean:
        made.type = Node::Type::flag;
        break;
      case toml::value_t::array:
        made.type = Node::Type::list;
        for (const Value& item : value.as_array()) made.items.push_back(node(item));
        break;
      case toml::value_t::table:
        made.type = Node::Type::table;
        for (const auto& [key, item] : value.as_table()) made.members.push_back(member(key, item));
        break;
      default:
        made.type = Node::Type::date;
        break;
    }
    return made;
  }

 private:
  Member member(const std::string& key, const Value& value) const {
    Member made{key, {}, node(value)};
    const Span& span = made.value.span;
    const char first = span.offset < source_.text().size() ? source_.text()[span.offset] : ' ';
    const bool header = made.value.type == Node::Type::table && first == '[';
    made.key_span = header ? span : key_span_of(source_.text(), key, span);
    check_escapes(source_, key, made.key_span);
    return made;
  }

  const Source& source_;
};

// ---- what the TOML library says, in our words

// The reason is the first line of its message, without the name of a function.
std::string reason(std::string message) {
  message = message.substr(0, message.find('\n'));
  for (const std::string_view mark : {"[error] ", "toml::"}) {
    if (message.compare(0, mark.size(), mark) == 0) message.erase(0, mark.size());
  }
  const std::size_t colon = message.find(':');
  if (colon != std::string::npos && message.find(' ') > colon) {
    message.erase(0, colon + 1);
  }
  return std::string(text::trim(message));
}

bool tells_of_duplicate(const std::string& message) {
  for (const char* sign :
       {"already exists", "already defined", "defined twice", "collides", "cannot be defined"}) {
    if (message.find(sign) != std::string::npos) return true;
  }
  return false;
}

// The quoted name in such a message.
std::string duplicate_name(const std::string& message) {
  const std::size_t open = message.find("(\"");
  const std::size_t close = message.find("\")", open);
  if (open == std::string::npos || close == std::string::npos) return "this";
  return "'" + message.substr(open + 2, close - open - 2) + "'";
}

std::size_t offset_of(const Source& source, const toml::source_location& location) {
  std::size_t offset = 0;
  for (unsigned line = 1; line < location.line(); ++line) {
    const std::size_t end = source.text().find('\n', offset);
    if (end == std::string::npos) break;
    offset = end + 1;
  }
  // Of a date the library gives the place within the date.
  const std::string& line = location.line_str();
  const std::size_t found = source.text().find(line);
  if (source.text().compare(offset, line.size(), line) != 0 && found != std::string::npos) {
    offset = found;
  }
  return offset + location.column() - 1;
}

// Where a quote opens that does not close on its line, the commonest slip.
std::optional<std::size_t> open_quote(std::string_view line) {
  for (const char* many_lines : {"\"\"\"", "'''"}) {
    if (line.find(many_lines) != std::string_view::npos) return std::nullopt;
  }
  std::optional<std::size_t> open;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const char c = line[i];
    if (open) {
      if (c == '\\' && line[*open] == '"') {
        ++i;
      } else if (c == line[*open]) {
        open.reset();
      }
    } else if (c == '"' || c == '\'') {
      open = i;
    } else if (c == '#') {
      break;
    }
  }
  return open;
}

// Where a value begins, when the line is a key with a value that is no TOML.
std::size_t value_start(std::string_view line) {
  const std::size_t equals = line.find('=');
  if (equals == std::string_view::npos) return 0;
  const std::size_t value = line.find_first_not_of(" \t", equals + 1);
  return value == std::string_view::npos ? 0 : value;
}

[[noreturn]] void fail_duplicate(const Source& source, const Span& second,
                                 const std::string& said) {
  const auto before = static_cast<std::size_t>(source.at(second.offset, 1).column - 1);
  const std::size_t key = source.text().find_first_not_of(" \t", second.offset - before);
  // The key is at fault, not the value after it.
  const std::size_t from = std::min(key, second.offset);
  fail(source, Code::duplicate, {from, second.offset - from + second.length},
       fmt::format("{} is there twice", duplicate_name(said)), "Keep one of them.");
}

// What to write instead, by the reason the library gives.
std::string advice(const std::string& said, char first_of_value) {
  const auto tells = [&](const char* sign) { return said.find(sign) != std::string::npos; };
  const bool bare = first_of_value != '\0' &&
                    std::string_view("\"'[{").find(first_of_value) == std::string_view::npos;
  if (tells("unknown value") || (tells("invalid line format") && bare)) {
    return "Write a text or a number with its unit in quotes, \"30 mm\".";
  }
  if (tells("invalid line format")) return "Write one key and its value on a line.";
  if (tells("not a valid string")) return "Write \\\\ for a backslash.";
  if (tells("missing value")) return "Write a value after the '='.";
  if (tells("format for key")) return "A key is one word of letters, figures, '_' and '-'.";
  if (tells("separator `=`") || tells("invalid key")) {
    return "A line is a table, [radiator], or a key and its value, fin_density = \"20 fpi\".";
  }
  return {};
}

[[noreturn]] void fail_syntax(const Source& source, const toml::exception& error) {
  const std::string said = reason(error.what());
  const Span span{offset_of(source, error.location()), error.location().region()};
  if (tells_of_duplicate(said)) fail_duplicate(source, span, said);
  const Place place = source.at(span.offset, 1);
  const std::string_view line = place.text;
  const std::size_t column = static_cast<std::size_t>(place.column - 1);
  const std::size_t start = span.offset - std::min(span.offset, column);
  if (const std::optional<std::size_t> open = open_quote(line)) {
    fail(source, Code::syntax, {start + *open, line.size() - *open},
         "a quote opens here and does not close on this line", "Close the quote.");
  }
  // Of a value it cannot read the library marks the start of the line.
  const std::size_t value = value_start(line);
  const bool of_value = value > 0 && said.find(" key") == std::string::npos &&
                        text::trim(line.substr(0, column)).empty();
  fail(source, Code::syntax, of_value ? Span{start + value, line.size() - value} : span,
       fmt::format("not TOML: {}", said), advice(said, value > 0 ? line[value] : '\0'));
}

}  // namespace

std::string in_words(const Node& node) {
  switch (node.type) {
    case Node::Type::text:
      return "a text";
    case Node::Type::whole:
    case Node::Type::number:
      return fmt::format("a plain number ({})", text::cut(node.text, longest_shown));
    case Node::Type::flag:
      return node.text;
    case Node::Type::date:
      return "a date or time";
    case Node::Type::list:
      return "a list";
    case Node::Type::table:
      return "a table";
  }
  return "a value";
}

const Node* Node::find(std::string_view key) const {
  for (const Member& member : members) {
    if (member.key == key) return &member.value;
  }
  return nullptr;
}

Node parse_tree(const Source& source) {
  check_nesting(source);
  try {
    std::istringstream stream(source.text());
    const Value root =
        toml::parse<toml::discard_comments, std::map, std::vector>(stream, source.file());
    Node made = Converter(source).node(root);
    made.span = {0, 0};
    return made;
  } catch (const toml::exception& error) {
    fail_syntax(source, error);
  } catch (const InputError&) {
    throw;
  } catch (const std::exception& error) {
    fail(source, Code::syntax, {0, 0}, fmt::format("not TOML: {}", error.what()), {});
  }
}

}  // namespace libloop::files
