#include "libloop/report/language.hpp"

#include "libloop/base/error.hpp"
#include "libloop/base/text.hpp"

namespace libloop::report {

std::vector<std::string> language_words() { return {"en", "de"}; }

Language language_of(std::string_view word) {
  if (word == "en") return Language::english;
  if (word == "de") return Language::german;
  std::string hint = text::did_you_mean(word, language_words());
  if (hint.empty()) hint = "Write en or de.";
  refuse(Code::unknown,
         "pictures do not speak '" + std::string(text::cut(word, 40)) + "' (known: en, de)", hint);
}

char decimal_mark_of(Language language) { return language == Language::german ? ',' : '.'; }

}  // namespace libloop::report
