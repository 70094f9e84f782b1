#include "libloop/report/gnuplot_script.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <iterator>

#include "libloop/report/chart_text.hpp"
#include "libloop/report/palette.hpp"

namespace libloop::report {
namespace {

constexpr const char* font = "DejaVu Sans";
constexpr const char* faint = "#dddddd";  // lines at the ticks
constexpr std::array<int, shape_count> shapes = {7, 5, 9, 11, 13, 15};
// Dash and gap, in widths of the line.
constexpr std::array<const char*, dash_count> dashes = {"solid", "(5,2.5)", "(9,2.5,1.5,2.5)",
                                                        "(1.8,2)"};

// Half the width of a point of size 1, px, at our size of writing; measured.
double unit_point(Format format) { return format == Format::svg ? 11.0 : 3.0; }
// Cairo takes sizes of writing as points of 1/96 inch, the other as pixels.
const char* writing(Format format) { return format == Format::svg ? "" : "fontscale 0.75"; }

// Half the width of a dot, px.
double dot_size(Emphasis emphasis) {
  return emphasis == Emphasis::strong ? 13.0 : emphasis == Emphasis::plain ? 10.0 : 7.5;
}

class Script {
 public:
  Script(const Chart& chart, Format format) : chart_(chart), unit_point_(unit_point(format)) {
    begin(format);
    for (const Text& text : chart.all_texts()) label(text);
    for (const Stroke& s : chart.strokes) stroke(s.from, s.to, s.look);
    for (const Bracket& b : chart.brackets) bracket(b);
    // What is muted lies below what is not.
    for (const Span& span : chart.spans) fill(span);
    for (const Band& band : chart.bands) fill(band);
    for (const Rule& rule : chart.rules) draw(rule);
    for (const Emphasis level : {Emphasis::muted, Emphasis::plain, Emphasis::strong}) {
      marks(level);
    }
    end();
  }
  const std::string& text() const { return out_; }

 private:
  template <class... Args>
  void put(fmt::format_string<Args...> words, Args&&... args) {
    fmt::format_to(std::back_inserter(out_), words, std::forward<Args>(args)...);
  }

  static std::string screen(const XY& at) {
    return fmt::format("screen {:.6f},{:.6f}", at.x / page_right, 1.0 - at.y / page_bottom);
  }

  std::string line(const Look& look) const {
    return fmt::format("lc rgb '{}' lw {} dt {}", mark_colour(look), line_width(look.emphasis),
                       dashes[static_cast<std::size_t>(look.dash % dash_count)]);
  }

  void begin(Format format) {
    put("set encoding utf8\nset terminal {} size {},{} noenhanced butt font '{},{}' {} background "
        "'#ffffff'\n",
        format == Format::svg ? "svg" : "pngcairo", page_right, page_bottom, font, smallest_text,
        writing(format));
    put("unset key\nunset title\nset border 1 lc rgb '#777777' lw 2\n");
    const Area& a = chart_.area;
    put("set lmargin at screen {:.6f}\nset rmargin at screen {:.6f}\n", a.left / page_right,
        a.right / page_right);
    put("set tmargin at screen {:.6f}\nset bmargin at screen {:.6f}\n", 1.0 - a.top / page_bottom,
        1.0 - a.bottom / page_bottom);
    axis('x', chart_.x);
    axis('y', chart_.y);
    put("set grid xtics ytics back lt 1 dt solid lc rgb '{}' lw 2\n", faint);
  }

  void axis(char name, const Axis& axis) {
    put("set {}range [{:.10g}:{:.10g}] noextend\n", name, axis.low, axis.high);
    if (axis.ticks.empty()) {
      put("unset {}tics\n", name);
      return;
    }
    // Texts of ticks are labels, placed by the chart.
    put("set {}tics scale 0 format '' (", name);
    for (std::size_t i = 0; i < axis.ticks.size(); ++i) {
      put("{}'' {:.10g}", i == 0 ? "" : ", ", axis.ticks[i].at);
    }
    put(")\n");
  }

  void label(const Text& text) {
    constexpr std::array<const char*, 3> sides = {"left", "center", "right"};
    put("set label {} at {} {} noenhanced front font '{}{},{:.6g}' tc rgb '{}'\n",
        quoted(text.words), screen({text.x, text.y}), sides[static_cast<std::size_t>(text.align)],
        font, text.bold ? ":Bold" : "", text.size, text_colour(text.look));
  }

  void stroke(const XY& from, const XY& to, const Look& look) {
    put("set arrow from {} to {} nohead front {}\n", screen(from), screen(to), line(look));
  }

  void bracket(const Bracket& b) {
    stroke({b.x - b.depth, b.top}, {b.x, b.top}, b.look);
    stroke({b.x, b.top}, {b.x, b.bottom}, b.look);
    stroke({b.x, b.bottom}, {b.x - b.depth, b.bottom}, b.look);
  }

  // One set of numbers, and how it is plotted.
  void plot(const std::string& rows, const std::string& how) {
    if (rows.empty()) return;
    put("$d{} << EOD\n{}EOD\n", sets_, rows);
    plots_ += fmt::format("{}$d{} {}", plots_.empty() ? "" : ", ", sets_, how);
    ++sets_;
  }

  static std::string row(const XY& at) { return fmt::format("{:.10g} {:.10g}\n", at.x, at.y); }

  void fill(const Span& span) {
    const double low = chart_.y.low, high = chart_.y.high;
    plot(fmt::format("{0:.10g} {2:.10g} {3:.10g}\n{1:.10g} {2:.10g} {3:.10g}\n", span.from, span.to,
                     low, high),
         fmt::format("using 1:2:3 with filledcurves fc rgb '{}' fs solid 1 noborder",
                     fill_colour(span.look)));
  }

  void fill(const Band& band) {
    std::string rows;
    for (std::size_t i = 0; i < band.x.size(); ++i) {
      rows += fmt::format("{:.10g} {:.10g} {:.10g}\n", band.x[i], band.low[i], band.high[i]);
    }
    plot(rows, fmt::format("using 1:2:3 with filledcurves fc rgb '{}' fs solid 1 noborder",
                           fill_colour(band.look)));
  }

  void draw(const Rule& rule) {
    plot(row({rule.at, chart_.y.low}) + row({rule.at, chart_.y.high}),
         "using 1:2 with lines " + line(rule.look));
  }

  void marks(Emphasis level) {
    for (const Curve& curve : chart_.curves) {
      if (curve.look.emphasis == level) draw(curve);
    }
    for (const Bar& bar : chart_.bars) {
      if (bar.look.emphasis == level) draw(bar);
    }
    for (const Dot& dot : chart_.dots) {
      if (dot.look.emphasis == level) draw(dot);
    }
  }

  void draw(const Curve& curve) {
    std::string rows;
    for (const XY& point : curve.points) rows += row(point);
    plot(rows, "using 1:2 with lines " + line(curve.look));
  }

  void draw(const Bar& bar) {
    Look look = bar.look;
    look.dash = 0;
    if (bar.open) {
      plot(fmt::format("{:.10g} {:.10g} {:.10g} {:.10g}\n", bar.from.x, bar.from.y,
                       bar.to.x - bar.from.x, bar.to.y - bar.from.y),
           "using 1:2:3:4 with vectors head empty size screen 0.008,25 " + line(look));
      return;
    }
    segment(bar.from, bar.to, mark_colour(look), line_width(look.emphasis));
    cap(bar.from, bar, look);
    cap(bar.to, bar, look);
  }

  // A short line across the end of an interval.
  void cap(const XY& at, const Bar& bar, const Look& look) {
    constexpr double half = 9.0;  // px
    const Area& a = chart_.area;
    const bool level = bar.from.y == bar.to.y;
    const double dx = level ? 0.0 : half * (chart_.x.high - chart_.x.low) / (a.right - a.left);
    const double dy = level ? half * (chart_.y.high - chart_.y.low) / (a.bottom - a.top) : 0.0;
    const double width = std::min(line_width(look.emphasis), line_width(Emphasis::plain));
    segment({at.x - dx, at.y - dy}, {at.x + dx, at.y + dy}, mark_colour(look), width);
  }

  // As a vector: Cairo joins lines that follow each other, with a spike where they turn.
  void segment(const XY& from, const XY& to, const std::string& colour, double width) {
    plot(fmt::format("{:.10g} {:.10g} {:.10g} {:.10g}\n", from.x, from.y, to.x - from.x,
                     to.y - from.y),
         fmt::format("using 1:2:3:4 with vectors nohead lc rgb '{}' lw {}", colour, width));
  }

  void draw(const Dot& dot) {
    const auto shape = static_cast<std::size_t>(dot.look.shape % shape_count);
    const double size = dot_size(dot.look.emphasis);
    const std::string colour = mark_colour(dot.look);
    point(dot.at, shape, size, colour);
    constexpr double hole = 0.6;  // of the size
    if (dot.hollow) point(dot.at, shape, hole * size, "#ffffff");
  }

  void point(const XY& at, std::size_t shape, double size, const std::string& colour) {
    plot(row(at), fmt::format("using 1:2 with points pt {} ps {:.4g} lc rgb '{}' lw 1",
                              shapes[shape], size / unit_point_, colour));
  }

  void end() {
    if (plots_.empty()) plot(row({chart_.x.low, chart_.y.low}), "using 1:2 with dots");
    put("plot {}\n", plots_);
  }

  const Chart& chart_;
  double unit_point_;
  std::string out_, plots_;
  int sets_ = 0;
};

}  // namespace

std::string quoted(std::string_view text) {
  std::string out = "\"";
  for (const char c : plain(text)) {
    const auto byte = static_cast<unsigned char>(c);
    const bool harmless =
        (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == ' ' || byte >= 0x80;
    if (harmless) {
      out += c;
    } else {
      out += fmt::format("\\{:03o}", byte);
    }
  }
  return out + '"';
}

std::string gnuplot_script(const Chart& chart, Format format) {
  return Script(chart, format).text();
}

}  // namespace libloop::report
