#include "libloop/files/write.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <map>
#include <utility>

#include "libloop/base/error.hpp"
#include "libloop/base/text.hpp"
#include "libloop/model/cooler.hpp"
#include "libloop/part/catalogue.hpp"
#include "libloop/quantity/unit.hpp"

namespace libloop {
namespace {

constexpr std::size_t remark_column = 40;
constexpr std::size_t page_width = 100;

[[noreturn]] void fail(Code code, std::string message, std::string suggestion,
                       const std::string& file = {}) {
  throw InputError(Problem{code, std::move(message), std::move(suggestion), {file, 0, 0, 1, {}}});
}

// A TOML text in quotes.
std::string in_quotes(std::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (c == '"' || c == '\\') {
      out += '\\';
      out += c;
    } else if (c == '\n') {
      out += "\\n";
    } else if (byte < 0x20 || byte == 0x7F) {
      out += fmt::format("\\u{:04X}", byte);
    } else {
      out += c;
    }
  }
  return out + '"';
}

// ---- the range of a row

std::string range_words(const Row& row) {
  if (row.range.exact()) return "exact";
  const std::string low = text::number(to_unit(row.range.low, row.unit));
  return fmt::format("{} to {}", low, show(row.range.high, row.unit));
}

std::string possible_words(const Row& row) {
  switch (row.type) {
    case Row::Type::quantity:
      return range_words(row);
    case Row::Type::override:
      return row.source == "not used" ? "used only when given" : "from " + row.source;
    case Row::Type::count:
      return fmt::format("{} to {}", row.fewest, row.most);
    case Row::Type::choice:
      return text::list(row.words, "or");
    case Row::Type::curve:
      return fmt::format("{} against {}", row.y_name, row.x_name);
    case Row::Type::nominal:
      break;
  }
  return {};
}

// ---- the value of a row

std::string usual_value(const Row& row) {
  switch (row.type) {
    case Row::Type::quantity:
      return in_quotes(show(row.range.typical, row.unit));
    case Row::Type::nominal:
      return row.range.typical > 0.0 ? in_quotes(show(row.range.typical, row.unit)) : "\"...\"";
    case Row::Type::count:
      return std::to_string(row.number);
    case Row::Type::choice:
      return in_quotes(row.words[static_cast<std::size_t>(row.number)]);
    case Row::Type::curve:
      return fmt::format("[[\"0 {0}\", \"... {1}\"], ...]", row.x_unit, row.y_unit);
    case Row::Type::override:
      break;
  }
  return "\"...\"";
}

// A value that has been checked, as TOML.
std::string given_value(const Row& row, const std::string& value) {
  if (row.type != Row::Type::count) return in_quotes(text::trim(value));
  const double number = text::parse_number(text::trim(value)).value_or(0.0);
  return std::to_string(static_cast<long long>(number));
}

std::string line(const std::string& statement, const std::string& words) {
  if (words.empty()) return statement + '\n';
  return fmt::format("{:<{}}  # {}\n", statement, remark_column, words);
}

bool fits(const std::string& line) { return text::width(line) <= page_width + 1; }

// Whole lines of words.
std::string comment(const std::string& words) {
  std::string out, line = "#";
  for (const std::string& word : text::split(words, ' ')) {
    if (text::width(line) + 1 + text::width(word) > page_width) {
      out += line + '\n';
      line = "#";
    }
    line += ' ' + word;
  }
  return out + line + '\n';
}

// A statement with its words behind it, or above it what has no room there.
std::string lines(const std::string& statement, const std::string& possible,
                  const std::string& meaning) {
  const std::string all = possible.empty() ? meaning : possible + ". " + meaning;
  const std::string one = line(statement, all);
  if (fits(one)) return one;
  const std::string rest = line(statement, possible);
  if (fits(rest)) return comment(meaning) + rest;
  return comment(meaning) + comment(possible) + statement + '\n';
}

using Given = std::map<std::string, std::string>;  // path and value

// What a new file holds is a sealed loop.
constexpr std::array<const char*, 6> sealed_kinds = {"radiator", "fan",        "pump",
                                                     "tube",     "cold_plate", "coolant"};

std::string row_lines(const Row& row, const std::string& path, const Given& given) {
  const auto found = given.find(path);
  if (found == given.end()) {
    return lines("# " + row.name + " = " + usual_value(row), possible_words(row), row.meaning);
  }
  return lines(row.name + " = " + given_value(row, found->second), "", row.meaning);
}

// Its one entry of hoses stands for both.
bool has_no_say(const std::string& path) { return path == "tube.count"; }

std::string table_lines(const Table& table, const Given& given) {
  std::string out = table.kind == "fan" ? "\n[[fan]]\n" : "\n[" + table.kind + "]\n";
  for (const Row& row : table.rows) {
    const std::string path = table.kind + "." + row.name;
    if (!has_no_say(path)) out += row_lines(row, path, given);
  }
  return out;
}

// ---- what is given must be possible

Given checked(const std::vector<std::pair<std::string, std::string>>& given) {
  Cooler cooler;
  cooler.add("fan");
  Given all;
  for (const auto& [path, value] : given) {
    if (std::count(path.begin(), path.end(), '.') != 1) {
      fail(Code::unknown, fmt::format("'{}' is not a table and a key", path),
           "Write radiator.fin_density or the like.");
    }
    cooler.set(path, value);
    if (has_no_say(path)) {
      fail(Code::conflict, fmt::format("{} has no say in a sealed loop", path),
           "Its hoses are two and alike; a loop with [network] counts them.");
    }
    if (!all.emplace(path, value).second) {
      fail(Code::duplicate, fmt::format("{} is given twice", path), "Give it once.");
    }
  }
  std::vector<Problem> problems = cooler.problems();
  if (!problems.empty()) throw InputError(std::move(problems));
  return all;
}

}  // namespace

std::string new_cooler(const std::string& title,
                       const std::vector<std::pair<std::string, std::string>>& given) {
  if (text::first_bad_byte(title)) {
    fail(Code::call, "the title is not plain text", "Use UTF-8 without control characters.");
  }
  const Given all = checked(given);
  std::string out =
      "# A row that is commented out takes its typical value and its range, which stands at\n"
      "# its end (5 to 95 %). Take the first # away to state a value as exact; to state a\n"
      "# range write { typical = \"...\", low = \"...\", high = \"...\" }.\n"
      "\n[cooler]\n";
  out += "title = " + in_quotes(title) + "\n# notes = \"...\"\n# price = \"...\"\n";
  for (const char* kind : sealed_kinds) out += table_lines(table_of(kind), all);
  return out;
}

void write_new_file(const std::string& path, std::string_view text) {
  namespace fs = std::filesystem;
  std::error_code trouble;
  // A link that leads nowhere is in the way, too.
  if (fs::symlink_status(path, trouble).type() != fs::file_type::not_found) {
    fail(Code::file, "the file exists already", "Choose another name, or remove it first.", path);
  }
  const std::string part = path + ".part";
  std::ofstream stream(part, std::ios::binary | std::ios::trunc);
  stream.write(text.data(), static_cast<std::streamsize>(text.size()));
  stream.close();
  trouble.clear();
  if (stream) fs::rename(part, path, trouble);
  if (!stream || trouble) {
    fs::remove(part, trouble);
    fail(Code::file, "the file cannot be written", "Check the folder and your rights in it.", path);
  }
}

}  // namespace libloop
