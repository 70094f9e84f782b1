#include "libloop/report/chart.hpp"

#include <doctest/doctest.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <limits>
#include <set>
#include <sstream>

#include "libloop/base/error.hpp"
#include "libloop/report/chart_labels.hpp"
#include "libloop/report/chart_parts.hpp"
#include "libloop/report/chart_text.hpp"
#include "libloop/report/gnuplot_run.hpp"
#include "libloop/report/gnuplot_script.hpp"
#include "libloop/report/palette.hpp"

namespace libloop::report {
namespace {

namespace fs = std::filesystem;

// A folder of its own, gone afterwards.
class Folder {
 public:
  Folder() : path_(fs::temp_directory_path() / ("libloop_chart_" + std::to_string(getpid()))) {
    fs::remove_all(path_);
    fs::create_directory(path_);
  }
  ~Folder() { fs::remove_all(path_); }
  std::string operator/(const char* name) const { return (path_ / name).string(); }
  std::size_t files() const {
    return static_cast<std::size_t>(
        std::distance(fs::directory_iterator(path_), fs::directory_iterator()));
  }

 private:
  fs::path path_;
};

std::string read(const std::string& path) {
  std::ifstream stream(path, std::ios::binary);
  std::ostringstream out;
  out << stream.rdbuf();
  return out.str();
}

std::size_t count(const std::string& text, std::string_view part) {
  std::size_t times = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) {
    ++times;
  }
  return times;
}

Chart small(const std::string& title = "A title") {
  Chart chart;
  head_and_foot(chart, title, "below it", {"a note"});
  chart.x = {"x, s", 0.0, 10.0, ticks({0, 5, 10}, '.')};
  chart.y = {"y, K", 0.0, 1.0, ticks({0, 0.5, 1}, '.')};
  chart.curves.push_back({{{0, 0}, {10, 1}}, {}});
  chart.dots.push_back({{5, 0.5}, {2, 3, 0, Emphasis::strong}, true});
  chart.bars.push_back({{5, 0.2}, {5, 0.8}, {1, 0, 0, Emphasis::muted}, false});
  chart.bars.push_back({{6, 0.2}, {6, 0.8}, {}, true});
  chart.spans.push_back({1, 2, {}});
  chart.bands.push_back({{2, 3}, {0.1, 0.2}, {0.3, 0.4}, {}});
  chart.rules.push_back({7, {}});
  chart.brackets.push_back({1800, 300, 400, 14, {}});
  return chart;
}

void refused(const Chart& chart, Code code) {
  try {
    svg(chart);
    FAIL("drawn");
  } catch (const InputError& e) {
    CHECK(e.code() == code);
  }
}

// What an XML reader makes of the texts: entities undone.
std::string decoded(std::string text) {
  for (const auto& [escape, sign] :
       std::initializer_list<std::pair<const char*, const char*>>{{"&lt;", "<"},
                                                                  {"&gt;", ">"},
                                                                  {"&quot;", "\""},
                                                                  {"&apos;", "'"},
                                                                  {"&#39;", "'"},
                                                                  {"&amp;", "&"}}) {
    for (std::size_t at = text.find(escape); at != std::string::npos;
         at = text.find(escape, at + 1)) {
      text.replace(at, std::string_view(escape).size(), sign);
    }
  }
  return text;
}

// ---- as data

TEST_CASE("axes lead to pixels, also where they run backwards") {
  Chart chart;
  chart.area = {100, 200, 1100, 700};
  chart.x = {"", 0, 10, {}};
  chart.y = {"", 0, 5, {}};
  CHECK(chart.px(0) == 100);
  CHECK(chart.px(10) == 1100);
  CHECK(chart.py(0) == 700);
  CHECK(chart.py(5) == 200);
  chart.y = {"", 5, 0, {}};
  CHECK(chart.py(5) == 700);
}

TEST_CASE("ticks are 1, 2 or 5 times a power of ten, with equal decimals") {
  CHECK(round_values(0, 10, 5) == std::vector<double>{0, 2, 4, 6, 8, 10});
  CHECK(round_values(37.2, 54.9, 4) == std::vector<double>{40, 45, 50});
  const std::vector<double> fine = round_values(0.9, 1.02, 4);
  const std::vector<Tick> texts = ticks(fine, ',');
  REQUIRE(texts.size() >= 3);
  CHECK(texts.front().text == "0,90");
  CHECK(decimal(-0.04, 1, '.') == "0.0");
  CHECK(decimal(-1.25, 1, ',') == "-1,2");
  CHECK(Reach{}.padded(0.1).low < Reach{}.padded(0.1).high);
  Reach one;
  one.add(5.0);
  CHECK(one.padded(0.1).low < 5.0);
}

TEST_CASE("writing is measured before it is drawn") {
  // Advances of DejaVu Sans 2.37: "W" 0.989, "i" 0.278 of the size; in bold 1.103 and 0.343.
  CHECK(text_px("Wi", 100) == doctest::Approx(98.9 + 27.8));
  CHECK(text_px("Wi", 100, true) == doctest::Approx(110.3 + 34.3));
  CHECK(text_px("ä", 100) >= 61.3);
  CHECK(fitted("short", 1000, 30) == "short");
  const std::string cut = fitted("a very long name of a cooler", 200, 30);
  CHECK(text_px(cut, 30) <= 200.0);
  CHECK(cut.substr(cut.size() - 3) == "…");
  CHECK(fitting_size("x", 500, 46) == 46);
  CHECK(fitting_size(std::string(500, 'x'), 500, 46) == smallest_text);
  for (const std::string& line : wrapped("one two three four five six", 150, 30, 2)) {
    CHECK(text_px(line, 30) <= 150.0);
  }
  CHECK(wrapped("one two three four five six", 150, 30, 2).size() == 2);
}

TEST_CASE("what cannot be drawn is taken out of a text, and only that") {
  CHECK(plain("a\nb\tc\x01\x7F") == "a b c");
  CHECK(plain("Gr\xC3\xB6\xC3\x9F"
              "e \xE2\x89\xA5") == "Größe ≥");
  CHECK(plain("\xC3(\xFF") == "\xEF\xBF\xBD(\xEF\xBF\xBD");
  CHECK(plain("\xED\xA0\x80").find('\xED') == std::string::npos);  // half of a surrogate
  CHECK(plain("a\xE2\x80\xAE"
              "b") == "ab");  // turns the direction
}

TEST_CASE("a name takes the cheapest room, never that of another text") {
  Labels labels;
  const auto at = [](double x, double y) {
    return Text{"name", x, y, Align::left, 30.0, false, {}};
  };
  labels.occupy(at(100, 100));
  CHECK_FALSE(labels.place({{at(110, 100), 0.0, {}}}, 1e9));
  CHECK_FALSE(labels.place({{at(1900, 500), 0.0, {}}}, 1e9));  // off the page
  labels.avoid(along({{500, 500}, {700, 500}}), 1.0);
  const auto placed = labels.place({{at(550, 500), 0.0, {}}, {at(550, 560), 1.0, {}}}, 1e9);
  REQUIRE(placed);
  CHECK(placed->text.y == 560);
  CHECK_FALSE(labels.place({{at(520, 500), 0.0, {}}}, 5.0));  // hides more than it may
}

TEST_CASE("coolers differ by colour and shape, and keep them when their table is sorted anew") {
  std::vector<std::string> titles;
  for (int i = 0; i < 36; ++i) titles.push_back("Invented " + std::to_string(i));
  const auto looks = looks_of(titles);
  std::set<std::pair<int, int>> seen;
  for (const auto& [title, look] : looks) seen.emplace(look.colour, look.shape);
  CHECK(seen.size() == 36);
  std::reverse(titles.begin(), titles.end());
  CHECK(looks_of(titles) == looks);
  std::set<int> colours;
  for (const auto& [title, look] : looks_of({"a", "b", "c", "d", "e", "f"})) {
    colours.insert(look.colour);
  }
  CHECK(colours.size() == 6);
  // Published colours, Okabe and Ito 2008, from memory: blue 0072B2, vermilion D55E00.
  CHECK(mark_colour({0, 0, 0, Emphasis::strong}) == "#0072b2");
  CHECK(mark_colour({1, 0, 0, Emphasis::plain}) == "#d55e00");
  CHECK(mark_colour({1, 0, 0, Emphasis::muted}) != mark_colour({1, 0, 0, Emphasis::plain}));
}

// ---- drawn

TEST_CASE("a chart becomes a picture of one size in both formats") {
  const std::string image = png(small());
  REQUIRE(image.size() > 24);
  CHECK(image.substr(1, 3) == "PNG");
  const auto number = [&](std::size_t i) {
    int value = 0;
    for (std::size_t k = 0; k < 4; ++k)
      value = 256 * value + static_cast<unsigned char>(image[i + k]);
    return value;
  };
  CHECK(number(16) == 1920);
  CHECK(number(20) == 1080);
  const std::string drawing = svg(small());
  CHECK(count(drawing, "width=\"1920\" height=\"1080\"") >= 1);
  CHECK(count(drawing, ">A title<") == 1);
  CHECK(count(drawing, "font-weight=\"bold\"") == 1);
  CHECK(count(drawing, "DejaVu Sans:Bold") == 0);
  CHECK(count(drawing, "<script") + count(drawing, "<image") + count(drawing, "href=\"http") == 0);
}

TEST_CASE("a text of the user's stays text, whatever it holds") {
  const Folder folder;
  const std::string witness = folder / "witness";
  const std::vector<std::string> nasty = {
      "it's \"quoted\" 'twice'",
      "`touch " + witness + "`",
      "$HOME ${HOME} $d0 $0",
      "a_b^c~d{/Bold e}{/=90 f}",
      "<script>alert(1)</script>",
      "@home @ARG0",
      "} { }}",
      "back\\slash \\n \\ \\\\",
      "100 % %s %d %n",
      "'",
      "''",
      "\"",
      "'''",
      "'; system(\"touch " + witness + "\"); set label '",
      "system('touch " + witness + "') # comment ; !touch " + witness,
      "&lt; &amp; &#x41; ]]> <![CDATA[ -->",
      "ends with a backslash \\",
      "EOD",
      "font-family=\"DejaVu Sans:Bold\"",
      "Größe ≥ 5 µm"};
  for (const std::string& title : nasty) {
    CAPTURE(title);
    const std::string drawing = svg(small(title));
    CHECK(count(decoded(drawing), "<text>" + title + "</text>") +
              count(decoded(drawing), "<text xml:space=\"preserve\">" + title + "</text>") ==
          1);
    CHECK(count(drawing, "<script") == 0);
    CHECK(count(drawing, "]]>") == 0);
  }
  png(small(nasty[1] + nasty[9] + nasty[10]));
  CHECK_FALSE(fs::exists(witness));
  // A line feed within is a blank: the next line would be a command.
  const std::string drawing = svg(small("one\nsystem(\"touch " + witness + "\")"));
  CHECK(count(decoded(drawing), ">one system(\"touch") == 1);
  CHECK_FALSE(fs::exists(witness));
}

TEST_CASE("of a user's text gnuplot reads letters and blanks alone") {
  CHECK(quoted("it's 1") == R"("it\047s \061")");
  CHECK(quoted("a`b\\$@\"") == R"("a\140b\134\044\100\042")");
  CHECK(quoted("µ") == "\"µ\"");
}

TEST_CASE("an own file of settings changes no picture") {
  const Folder folder;
  std::ofstream(folder / ".gnuplot") << "exit status 3\n";
  const char* home = std::getenv("HOME");
  const std::string before = home == nullptr ? "" : home;
  const std::string usual = svg(small());
  setenv("HOME", (folder / "").c_str(), 1);
  const std::string other = svg(small());
  if (home != nullptr) setenv("HOME", before.c_str(), 1);
  CHECK(other == usual);
}

TEST_CASE("what cannot be drawn is refused") {
  Chart chart = small();
  chart.dots.push_back({{std::numeric_limits<double>::quiet_NaN(), 1}, {}, false});
  refused(chart, Code::call);
  chart = small();
  chart.curves.front().points.push_back({1, std::numeric_limits<double>::infinity()});
  refused(chart, Code::call);
  chart = small();
  chart.bands.front().low.pop_back();
  refused(chart, Code::call);
  chart = small();
  chart.x.high = chart.x.low;
  refused(chart, Code::call);
}

TEST_CASE("an empty chart is a page with a title") {
  Chart chart;
  head_and_foot(chart, "Nothing", "", {});
  CHECK(count(svg(chart), ">Nothing<") == 1);
}

TEST_CASE("a file appears whole, in place of an older one, and nothing is left beside it") {
  const Folder folder;
  const std::string path = folder / "picture.svg";
  std::ofstream(path) << "older";
  draw(small(), path);
  CHECK(read(path) == svg(small()));
  draw(small(), folder / "picture.png");
  CHECK(folder.files() == 2);
  for (const char* name : {"picture", "picture.pdf", "picture.svg.txt"}) {
    CHECK_THROWS_AS(draw(small(), folder / name), InputError);
  }
  fs::create_directory(folder / "folder.svg");
  CHECK_THROWS_AS(draw(small(), folder / "folder.svg"), InputError);
  CHECK_THROWS_AS(draw(small(), folder / "missing/picture.svg"), InputError);
  CHECK(folder.files() == 3);
}

TEST_CASE("gnuplot that is missing, complains or hangs is told as what it is") {
  const auto told = [](const std::string& script, std::chrono::milliseconds limit) {
    try {
      run_gnuplot(script, limit);
    } catch (const InputError& e) {
      CHECK(e.code() == Code::file);
      return e.problems().front().message + "|" + e.problems().front().suggestion;
    }
    return std::string();
  };
  CHECK(told("no_such_command\n", gnuplot_limit).find("gnuplot failed") == 0);
  CHECK(told("pause 30\n", std::chrono::milliseconds(200)).find("did not end within 0.2 s") !=
        std::string::npos);
  const Folder folder;
  const std::string path = std::getenv("PATH");
  setenv("PATH", (folder / "").c_str(), 1);
  const std::string missing = told("", gnuplot_limit);
  setenv("PATH", path.c_str(), 1);
  CHECK(missing.find("apt-get install gnuplot-nox") != std::string::npos);
}

}  // namespace
}  // namespace libloop::report
