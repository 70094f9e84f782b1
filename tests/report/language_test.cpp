#include "libloop/report/language.hpp"

#include <doctest/doctest.h>

#include <set>

#include "libloop/base/error.hpp"
#include "libloop/report/chart_words.hpp"

namespace libloop::report {
namespace {

int holes(std::string_view words) {
  int n = 0;
  for (std::size_t at = words.find("{}"); at != std::string_view::npos;
       at = words.find("{}", at + 2)) {
    ++n;
  }
  return n;
}

// Units, signs and numbers that both languages write alike.
const std::set<Word> alike = {Word::kelvin,  Word::kelvin_with_doubt, Word::at_least,
                              Word::at_most, Word::celsius,           Word::watt,
                              Word::percent, Word::per_minute};

TEST_CASE("every word of a picture is there in each language, and differs where it should") {
  for (int i = 0; i < static_cast<int>(Word::count); ++i) {
    CAPTURE(i);
    const Word word = static_cast<Word>(i);
    const std::string_view english = pattern(Language::english, word);
    const std::string_view german = pattern(Language::german, word);
    CAPTURE(english);
    REQUIRE_FALSE(english.empty());
    REQUIRE_FALSE(german.empty());
    CHECK(holes(english) == holes(german));
    CHECK((english == german) == alike.contains(word));
  }
}

TEST_CASE("values fill a pattern in order, and are not patterns themselves") {
  CHECK(say(Language::english, Word::kelvin_with_doubt, {"50.1", "0.4"}) == "50.1 ± 0.4 K");
  CHECK(say(Language::english, Word::between, {"{}", "2"}) == "{} to 2");
}

TEST_CASE("languages go by their words of two letters") {
  CHECK(language_of("en") == Language::english);
  CHECK(language_of("de") == Language::german);
  CHECK(language_words() == std::vector<std::string>{"en", "de"});
  CHECK(decimal_mark_of(Language::english) == '.');
  CHECK(decimal_mark_of(Language::german) == ',');
  try {
    language_of("dee");
    FAIL("a language nobody has");
  } catch (const InputError& e) {
    CHECK(e.code() == Code::unknown);
    CHECK(e.problems().front().suggestion == "Did you mean 'de'?");
  }
  CHECK_THROWS_AS(language_of(""), InputError);
}

}  // namespace
}  // namespace libloop::report
