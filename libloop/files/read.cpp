#include "libloop/files/read.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <optional>
#include <sstream>
#include <utility>

#include "libloop/base/text.hpp"
#include "libloop/files/document.hpp"
#include "libloop/files/schema.hpp"

namespace libloop {
namespace {

constexpr std::streamsize most_bytes = 1024 * 1024 + 1;  // one more than may be

[[noreturn]] void fail_file(const std::string& path, std::string message, std::string suggestion) {
  throw InputError(
      Problem{Code::file, std::move(message), std::move(suggestion), {path, 0, 0, 1, {}}});
}

std::string bytes_of(const std::string& path) {
  std::error_code ignored;
  const std::filesystem::file_status status = std::filesystem::status(path, ignored);
  if (status.type() == std::filesystem::file_type::not_found) {
    fail_file(path, "there is no such file", "Check the name and the folder.");
  }
  if (std::filesystem::is_directory(status)) {
    fail_file(path, "this is a folder, not a file", "Name a file in it.");
  }
  std::ifstream stream(path, std::ios::binary);
  std::string bytes(static_cast<std::size_t>(most_bytes), '\0');
  if (!stream || !stream.read(bytes.data(), most_bytes).eof()) {
    if (stream) return bytes;  // too long; whoever parses it says so
    fail_file(path, "the file cannot be read", "Check that you may read it.");
  }
  bytes.resize(static_cast<std::size_t>(stream.gcount()));
  return bytes;
}

// ---- places for problems that name quantities in their words

std::string plain_word(std::string word) {
  while (!word.empty() && std::string_view(",.;:()'").find(word.back()) != std::string_view::npos) {
    word.pop_back();
  }
  return word;
}

// The path of the first table that a word means: "fan.2", "fans", "radiator.class" (its
// table, when the row itself is not in the file).
std::optional<std::string> table_meant(const Document& document, const std::string& word) {
  if (document.places.count(word) > 0) return word;
  const std::size_t dot = word.rfind('.');
  if (dot != std::string::npos) return table_meant(document, word.substr(0, dot));
  for (const auto& [path, place] : document.places) {
    for (const std::string& piece : text::split(path, '.')) {
      if (piece == word || piece + "s" == word) return path;
    }
  }
  return std::nullopt;
}

// The path a message is about: the last row it names of the first table it names.
std::optional<std::string> path_meant(const Document& document, const std::string& message) {
  std::optional<std::string> table, row;
  for (const std::string& raw : text::split(message, ' ')) {
    const std::string word = plain_word(raw);
    if (word.empty()) continue;
    if (!table) {
      table = table_meant(document, word);
    } else if (document.places.count(*table + "." + word) > 0) {
      row = *table + "." + word;
    }
  }
  return row ? row : table;
}

// ---- what does not fit together

bool is_faulty(const Document& document, const std::string& path) {
  return std::any_of(document.faulty.begin(), document.faulty.end(), [&](const std::string& table) {
    return path == table || path.compare(0, table.size() + 1, table + ".") == 0;
  });
}

// Adds what the parts say of each other. A table with a fault of its own is left alone:
// its values are not yet what the writer means.
void add_misfits(Document& document, const std::vector<Problem>& misfits, bool judge_fit) {
  for (Problem problem : misfits) {
    const std::optional<std::string> path = path_meant(document, problem.message);
    if (path && is_faulty(document, *path)) continue;
    if (problem.code == Code::conflict && !judge_fit) continue;
    if (path) {
      problem.place = document.places.at(*path);
    } else {
      problem.place.file = document.file;
    }
    document.problems.push_back(std::move(problem));
  }
}

void throw_if_any(Document& document) {
  if (document.problems.empty()) return;
  sort_by_place(document.problems);
  throw InputError(std::move(document.problems));
}

// ---- from a document to parts

std::string text_of(const Document& document, const char* key) {
  const auto found = document.texts.find(key);
  return found == document.texts.end() ? std::string() : found->second;
}

std::vector<Sheet> all_of(const Document& document, std::string_view kind) {
  std::vector<Sheet> sheets;
  for (const Sheet& sheet : document.sheets) {
    if (sheet.table().kind == kind) sheets.push_back(sheet);
  }
  return sheets;
}

// The one part of a kind; several need a network, which does not exist yet.
void take_one(Document& document, Sheet& part) {
  std::vector<Sheet> found = all_of(document, part.table().kind);
  if (found.size() > 1) {
    document.problems.push_back(
        {Code::unknown, fmt::format("this cooler has {} of {}", found.size(), part.table().kind),
         "Loops of other shapes are not built yet in this version; keep one.",
         document.places.at(found[1].path())});
  }
  if (!found.empty()) part = std::move(found.front());
}

}  // namespace

Cooler parse_cooler(std::string_view text, const std::string& file) {
  Document document = read_document(text, file, cooler_schema());
  if (document.places.empty() && document.problems.empty()) {
    throw InputError(
        Problem{Code::missing,
                "the file is empty",
                "A cooler file holds at least [radiator] with its class, and one [[fan]].",
                {file, 0, 0, 1, {}}});
  }
  Cooler cooler;
  cooler.title = text_of(document, "cooler.title");
  cooler.notes = text_of(document, "cooler.notes");
  cooler.price = text_of(document, "cooler.price");
  cooler.fans = all_of(document, "fan");
  for (Sheet* part :
       {&cooler.radiator, &cooler.pump, &cooler.tube, &cooler.cold_plate, &cooler.coolant}) {
    take_one(document, *part);
  }
  add_misfits(document, cooler.problems(), cooler.radiator.given("class"));
  throw_if_any(document);
  return cooler;
}

Bench parse_bench(std::string_view text, const std::string& file) {
  Document document = read_document(text, file, bench_schema());
  Bench bench;
  bench.title = text_of(document, "bench.title");
  bench.notes = text_of(document, "bench.notes");
  const std::vector<Sheet> dies = all_of(document, "chip.die");
  if (!dies.empty()) bench.dies = dies;
  for (Sheet* part : {&bench.bench, &bench.chip, &bench.paste, &bench.board, &bench.surroundings,
                      &bench.sensor, &bench.law}) {
    take_one(document, *part);
  }
  add_misfits(document, bench.problems(), true);
  throw_if_any(document);
  return bench;
}

Cooler read_cooler(const std::string& path) { return parse_cooler(bytes_of(path), path); }

Bench read_bench(const std::string& path) { return parse_bench(bytes_of(path), path); }

}  // namespace libloop
