// A chart as data: what stands where, and how loud. Nothing in here knows who draws it.
//
//   libloop::report::Chart chart = libloop::report::ranking_chart(ranking);
//   libloop::report::draw(chart, "ranking.png");
//
// A page is 1920 x 1080 px, 16:9. Marks stand in the units of the axes; texts, brackets and
// strokes in pixels of the page, from its upper left corner, so that their room can be planned.
#pragma once

#include <string>
#include <vector>

namespace libloop::report {

inline constexpr double page_right = 1920.0, page_bottom = 1080.0;  // px
// The smallest writing, px: about 1.5 mm high on a phone held level; judgement.
inline constexpr double smallest_text = 28.0;

enum class Emphasis { muted, plain, strong };

// Colours are numbers of a palette that is safe for the colour-blind; `ink` is that of writing.
inline constexpr int ink = -1;
struct Look {
  int colour = ink;
  int shape = 0;  // of dots
  int dash = 0;   // of lines; 0: unbroken
  Emphasis emphasis = Emphasis::plain;

  friend bool operator==(const Look&, const Look&) = default;
};

struct Tick {
  double at = 0.0;
  std::string text;
};

struct Axis {
  std::string title;             // with its unit: "Rise over ambient, K"
  double low = 0.0, high = 1.0;  // left and right, bottom and top; low may exceed high
  std::vector<Tick> ticks;       // each has a faint line across the plot
};

struct XY {
  double x = 0.0, y = 0.0;
  friend bool operator==(const XY&, const XY&) = default;
};

// ---- in units of the axes

struct Dot {
  XY at;
  Look look;
  bool hollow = false;
};

struct Bar {  // an interval
  XY from, to;
  Look look;
  bool open = false;  // goes on beyond `to`: drawn as an arrow
};

struct Curve {
  std::vector<XY> points;
  Look look;
};

struct Band {  // between two curves
  std::vector<double> x, low, high;
  Look look;
};

struct Span {  // a stretch of x, over the whole height
  double from = 0.0, to = 0.0;
  Look look;
};

struct Rule {  // an upright line over the whole height
  double at = 0.0;
  Look look;
};

// ---- in pixels

enum class Align { left, middle, right };

struct Text {
  std::string words;
  double x = 0.0, y = 0.0;  // y of half its height
  Align align = Align::left;
  double size = smallest_text;
  bool bold = false;
  Look look;
};

struct Stroke {
  XY from, to;
  Look look;
};

struct Bracket {  // "]"
  double x = 0.0, top = 0.0, bottom = 0.0, depth = 14.0;
  Look look;
};

struct Area {
  double left = 160.0, top = 190.0, right = 1860.0, bottom = 930.0;
};

struct Chart {
  Text title, subtitle;
  std::vector<Text> footnotes;
  Area area;  // of the plot
  Axis x, y;
  std::vector<Span> spans;
  std::vector<Band> bands;
  std::vector<Rule> rules;
  std::vector<Curve> curves;
  std::vector<Bar> bars;
  std::vector<Dot> dots;
  std::vector<Stroke> strokes;
  std::vector<Bracket> brackets;
  std::vector<Text> texts;

  // From the axes to the page.
  double px(double at) const;
  double py(double at) const;
  // Every text there is, titles of the axes and texts of the ticks with it.
  std::vector<Text> all_texts() const;
};

// Drawn by gnuplot (Debian's gnuplot-nox), which has to be installed. Throws InputError: code
// file when gnuplot is missing or fails, or the file cannot be written; code call when a number
// of the chart is not finite, a list of a band is of another length, or the name of the file
// ends neither in .svg nor in .png.
std::string svg(const Chart& chart);
std::string png(const Chart& chart);
// By the end of the name. The file appears whole or not at all; one of that name is replaced.
void draw(const Chart& chart, const std::string& path);

}  // namespace libloop::report
