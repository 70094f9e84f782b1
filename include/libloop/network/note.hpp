// A note travels with an answer: a law left its range, a limit was passed, a caution.
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace libloop {

struct Note {
  enum class Kind {
    validity,  // a law or a property was used outside its range
    limit,     // a limit of the hardware was passed
    state,     // something stands still, runs away or runs backwards
    caution    // what can hurt people or hardware
  };
  Kind kind;
  std::string code;  // stable, for scripts: "louver_reynolds"
  std::string text;  // one sentence
  std::string part;  // "radiator"; may be empty
  // What passes before a warm-up settles: "during the soak"; empty for the point itself.
  std::string when{};
};

// Collects notes, one for each code and part.
class Notes {
 public:
  void add(Note note) {
    for (const Note& known : all_) {
      if (known.code == note.code && known.part == note.part) return;
    }
    all_.push_back(std::move(note));
  }
  const std::vector<Note>& all() const { return all_; }

 private:
  std::vector<Note> all_;
};

}  // namespace libloop
