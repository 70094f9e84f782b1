// The picture in text: a rail for every way, read downwards with the flow.
#include "libloop/report/picture.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/text.hpp"
#include "libloop/quantity/unit.hpp"
#include "libloop/report/part_words.hpp"
#include "libloop/report/scales.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/ways.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

using Align = TextTable::Align;

// A part, a place, or a piece of rail alone.
struct Line {
  std::string rail, name;
  const PartPoint* part = nullptr;
  const Course::Place* place = nullptr;
};

// The rail that a way hangs on: what stands before its first line and before the others, and
// whether the rail goes on below the way.
struct Rail {
  std::string first, others;
  bool goes_on = false;
};

class Painter {
 public:
  explicit Painter(const Course& course) : course_(course) {}

  std::vector<Line> lines() {
    for (const Way& way : course_.ways) {
      if (!lines_.empty()) lines_.emplace_back();
      course_.whole() && !course_.air ? ring(way) : open(way);
    }
    return std::move(lines_);
  }

 private:
  // Coolant that comes around again.
  void ring(const Way& way) {
    lines_.push_back({"╭─→─╮", "", nullptr, nullptr});
    row(way, {"│   ", "│   ", true});
    lines_.push_back({"╰───╯", "", nullptr, nullptr});
  }

  void open(const Way& way) {
    place("●", way.from);
    row(way, {"", "", true});
    place("●", way.to);
  }

  // Parts one below the other.
  void row(const Way& way, const Rail& rail) {
    const bool one = way.kind != Way::Kind::series;
    const std::size_t count = one ? 1 : way.ways.size();
    bool begun = rail.goes_on;  // by a rail from above
    for (std::size_t i = 0; i < count; ++i) {
      const Way& step = one ? way : way.ways[i];
      const bool last = i + 1 == count && !rail.goes_on;
      if (place_before(way, i, one)) {
        place((begun ? rail.others : rail.first) + "●", step.from);
        begun = true;
      }
      if (step.kind == Way::Kind::part) {
        const char* glyph = !begun ? "┬ " : last ? "╰ " : "│ ";
        lines_.push_back(
            {(begun ? rail.others : rail.first) + glyph, step.part->name, step.part, nullptr});
        begun = true;
      } else {
        side_by_side(step, rail.others, !last);
      }
    }
  }

  // Places between parts are told when they have a name, and wherever ways part or meet
  // without a part right above.
  bool place_before(const Way& way, std::size_t i, bool one) const {
    const Way& step = one ? way : way.ways[i];
    const bool parts = step.kind == Way::Kind::parallel;
    const bool root = step.from == course_.start;
    if (i == 0) return parts && !(root && course_.air);
    const bool meet = way.ways[i - 1].kind == Way::Kind::parallel;
    return meet || spoken(step.from);
  }

  void side_by_side(const Way& way, const std::string& before, bool goes_on) {
    for (const Way& branch : way.ways) {
      const bool ends = &branch == &way.ways.back() && !goes_on;
      const std::string first = before + (ends ? "╰─" : "├─");
      if (branch.kind == Way::Kind::part) {
        lines_.push_back({first + "─ ", branch.part->name, branch.part, nullptr});
      } else {
        row(branch, {first, before + (ends ? "  " : "┊ "), false});
      }
    }
  }

  void place(const std::string& rail, const std::string& name) {
    const Course::Place* here = &course_.places.at(name);
    if (!lines_.empty() && lines_.back().place == here) return;  // told right above
    lines_.push_back({rail + ' ', name, nullptr, here});
  }

  const Course& course_;
  std::vector<Line> lines_;
};

// ---- numbers

std::string celsius(double kelvin) { return kelvins(to_unit(kelvin, "C")); }

std::vector<std::string> cells(const Line& line, const Course& course, const Scales& scales,
                               const PartWords& words, std::size_t most) {
  const double start = course.places.at(course.start).pressure;
  std::string name = line.rail;
  if (!line.name.empty()) name += shortened(line.name, most - text::width(line.rail));
  if (line.place != nullptr) {
    return {name, "", "", scales.pressure(line.place->pressure - start),
            celsius(line.place->temperature)};
  }
  if (line.part == nullptr) return {name};
  const PartPoint& part = *line.part;
  return {name,
          scales.flow(std::abs(part.volume_flow)),
          scales.pressure.change(backwards(part) ? part.drop : -part.drop),
          scales.pressure(pressure_behind(part) - start),
          celsius(part.leaving),
          words.remark(part, most)};
}

TextTable table_of(const Course& course, const std::vector<Line>& lines, const PartWords& words,
                   std::size_t most) {
  const Scales scales = scales_of(course);
  TextTable table;
  table.column("", "", Align::left);
  table.column("flow", scales.flow.unit());
  table.column("change of\npressure", scales.pressure.unit());
  table.column("pressure\nbehind", scales.pressure.unit());
  table.column(course.air ? "air\nbehind" : "coolant\nbehind", "C");
  table.column("", "", Align::left);
  for (const Line& line : lines) table.row(cells(line, course, scales, words, most));
  return table;
}

std::string stream(const Model& model, const OperatingPoint& point, bool air) {
  const Course course = course_of(point, air);
  if (course.parts.empty()) return {};
  const PartWords words(model, point);
  const std::vector<Line> lines = Painter(course).lines();
  constexpr std::size_t fewest = 16;  // columns that a name keeps
  std::size_t most = page_width;
  while (most > fewest && table_of(course, lines, words, most).width() > page_width) --most;
  const std::string head =
      fmt::format("{}: {} {} {}; pressures count from there.", air ? "Air" : "Coolant",
                  scales_of(course).flow(course.places.at(course.start).through),
                  air ? "m3/h" : "L/min", place_words(course.start));
  return paragraph("", head) + table_of(course, lines, words, most).text();
}

// Whether ways are not simply nested, so that a stream falls into several blocks.
bool in_blocks(const OperatingPoint& point) {
  return course_of(point, false).ways.size() > 1 || course_of(point, true).ways.size() > 1;
}

}  // namespace

std::string picture(const Model& model, const OperatingPoint& point) {
  if (!point.summary.usable) return {};
  const std::string coolant = stream(model, point, false), air = stream(model, point, true);
  std::string out = coolant + (coolant.empty() || air.empty() ? "" : "\n") + air;
  std::string legend;
  if (out.find("├") != std::string::npos) {
    legend =
        "Ways side by side (├) part at one place and meet again at the next ● of their rail, or "
        "where the ring closes. ";
  }
  if (in_blocks(point))
    legend += "What is no rail stands in blocks: they are joined at the ● of one name.";
  return legend.empty() ? out : out + '\n' + paragraph("", legend);
}

}  // namespace libloop::report
