#include <doctest/doctest.h>

#include <algorithm>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "libloop/base/text.hpp"
#include "libloop/evidence/ranking.hpp"

namespace libloop {
namespace {

using Titles = std::vector<std::string>;

}  // namespace

TEST_CASE("short names: words are cut from the end") {
  CHECK(short_names(Titles{"Invented 240", "Another invented cooler with a long name"}) ==
        Titles{"Invented 240", "Another invented"});
  CHECK(short_names(Titles{"Unbrokenlongwordofacooler"}) == Titles{"Unbrokenlongwordo…"});
  CHECK(short_names(Titles{}).empty());
  CHECK(short_names(Titles{"", "  "}) == Titles{"untitled", "untitled 2"});
}

TEST_CASE("short names: words that most titles have go first") {
  CHECK(short_names(Titles{"Invented Tower 240 Black", "Invented Tower 240 White Edition",
                           "Invented 120"}) ==
        Titles{"Tower 240 Black", "White Edition", "Invented 120"});
  CHECK(short_names(Titles{"Invented early slim 360", "Invented early slim 240",
                           "Invented plain slim 360", "Invented_grey_slim_cooler"}) ==
        Titles{"early slim 360", "early slim 240", "plain slim 360", "grey_slim_cooler"});
}

TEST_CASE("short names: none alike, none too long, whatever comes") {
  Titles titles;
  for (int i = 0; i < 60; ++i) {
    titles.push_back("Unendlichlangerkühlername " + std::string(i % 7, 'x') + std::to_string(i));
    titles.push_back("Kühler mit Lüfter und Düse, Fassung " + std::to_string(i));
    titles.push_back("\"`$_^<script>\" " + std::to_string(i));
  }
  for (const std::size_t most : {8u, 18u, 30u}) {
    const Titles names = short_names(titles, most);
    CHECK(std::set<std::string>(names.begin(), names.end()).size() == titles.size());
    for (const std::string& name : names) {
      CHECK(text::width(name) <= most);
      CHECK_FALSE(text::first_bad_byte(name));
      CHECK_FALSE(name.empty());
    }
  }
}

TEST_CASE("short names do not depend on the order of titles") {
  const Titles titles{"Invented Tower 240 A",
                      "Invented Tower 240 B",
                      "Invented Tower 240 Blue",
                      "Invented_tower_of_old_240",
                      "x",
                      "Invented Tower 240 A long one"};
  Titles turned = titles;
  std::reverse(turned.begin(), turned.end());
  const Titles a = short_names(titles), b = short_names(turned);
  for (std::size_t i = 0; i < titles.size(); ++i) CHECK(a[i] == b[titles.size() - 1 - i]);
  CHECK(short_names(Titles{"same", "same"}) == Titles{"same", "same"});
}

}  // namespace libloop
