// The languages that pictures speak.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace libloop::report {

enum class Language { english, german };

// "en" or "de"; throws InputError (code unknown) with a near miss.
Language language_of(std::string_view word);
std::vector<std::string> language_words();  // of every language: {"en", "de"}
char decimal_mark_of(Language language);

}  // namespace libloop::report
