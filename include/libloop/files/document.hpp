// Reads the text of a file against a schema: which tables it may hold, which rows they
// have.
//
// You need this header only to add a kind of file; to read a cooler or a bench see
// files/read.hpp. The grammar is docs/files.md: TOML 1.0, every quantity a text with its
// unit. All faults of a file are found in one go, each with its place.
#pragma once

#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "libloop/base/error.hpp"
#include "libloop/quantity/table.hpp"

namespace libloop {

// A key that holds words: names of parts, of their ports, of places.
struct WordKey {
  enum class Shape {
    one,   // "outside"
    row,   // ["fan", "radiator"]; those side by side in a list: [["left", "right"], "radiator"]
    rows,  // [["pump.out", "cold_plate.in"], ...]
  };
  std::string name;  // "join"
  Shape shape = Shape::one;
  std::string example;  // a whole line, for suggestions
};

using Words = std::vector<std::vector<std::string>>;

// One kind of table in a file.
struct Section {
  // [one], [[list]], or either of them.
  enum class Form { one, list, either };
  std::string name;              // "radiator"; "chip.die" lies inside [chip]
  const Table* table = nullptr;  // null: the section holds texts and words only
  Form form = Form::one;
  std::vector<std::string> texts;  // keys that hold plain text: title, notes
  std::vector<WordKey> words{};
};

// A table that belongs to another kind of file, and what to tell whoever writes it here.
struct Elsewhere {
  std::string name;  // "chip"
  std::string kind;  // of that file: "bench"
  std::string hint;  // "[chip] belongs to a bench file."
};

struct Schema {
  std::string kind;  // "cooler"
  std::vector<Section> sections;
  std::vector<Elsewhere> elsewhere;
};

struct Document {
  std::string file;
  std::map<std::string, std::string> texts;  // "cooler.title"
  std::map<std::string, Words> words;        // "network.join", "network.air.1.from"
  std::vector<Sheet> sheets;                 // in the order of the file, inner ones after outer
  std::map<std::string, Place> places;       // "fan.2", "radiator.class", "network.join.3"
  std::set<std::string> faulty;              // paths of the tables that have a problem
  bool whole = true;                         // every table, name and word was understood
  std::vector<Problem> problems;             // in order of place
};

// Entries of a list are called by their name; without one, by their number when the list
// has several. What lies inside a named entry bears its name, too: "chip.die.graphics".
// Throws InputError when the text is no TOML or is another kind of file;
// everything else is among the problems of the document.
Document read_document(std::string_view text, const std::string& file, const Schema& schema);

// Sorts by line and column; problems without a line come last.
void sort_by_place(std::vector<Problem>& problems);

}  // namespace libloop
