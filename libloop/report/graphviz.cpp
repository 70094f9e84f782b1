// The picture in the DOT language: parts are boxes with their numbers, chips sit in the boxes of
// their plates, places where several parts meet are small; edges run with the flow.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/text.hpp"
#include "libloop/quantity/unit.hpp"
#include "libloop/report/part_words.hpp"
#include "libloop/report/picture.hpp"
#include "libloop/report/scales.hpp"
#include "libloop/report/ways.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

// Two hues that differ in lightness, too; ink on paper for the rest.
struct Colours {
  const char* line;
  const char* fill;
};
constexpr Colours coolant_colours{"#2F6690", "#E8F0F6"};
constexpr Colours air_colours{"#8A5F14", "#FBF3E2"};
constexpr Colours chip_colours{"#4A4A4A", "#EFEFEF"};
constexpr const char* quiet = "#555555";  // of numbers
constexpr const char* paper = "#FFFFFF";

// Text within an HTML-like label.
std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      default:
        out += static_cast<unsigned char>(c) < 0x20 ? ' ' : c;
    }
  }
  return out;
}

std::string celsius(double kelvin) { return kelvins(to_unit(kelvin, "C")) + " °C"; }

std::string bold(const std::string& name) { return "<b>" + escaped(name) + "</b>"; }

std::string small(const std::string& line, const char* colour = quiet) {
  return fmt::format("<br/><font point-size=\"9\" color=\"{}\">{}</font>", colour, escaped(line));
}

// Writes one stream. Where exactly two parts meet, an edge runs from one to the other.
class Writer {
 public:
  Writer(const Course& course, const PartWords& words)
      : course_(course),
        words_(words),
        scales_(scales_of(course)),
        colours_(course.air ? air_colours : coolant_colours) {}

  std::string text() {
    const char* name = course_.air ? "air" : "coolant";
    out_ = fmt::format("\n  // {}\n", name);
    const std::vector<std::size_t> order = in_order();
    for (const std::size_t i : order) box(i);
    for (const auto& [name_of_place, values] : course_.places) {
      if (values.touching == 2) continue;
      place(name_of_place, values, false);
      if (point_id(name_of_place, true) != point_id(name_of_place, false)) {
        place(name_of_place, values, true);
      }
    }
    for (const std::size_t i : order) edges(i);
    return std::move(out_);
  }

 private:
  // Parts as the flow meets them: what stands first stands at the top.
  std::vector<std::size_t> in_order() const {
    std::vector<const PartPoint*> met;
    for (const Way& way : course_.ways) collect(way, met);
    std::vector<std::size_t> order;
    for (const PartPoint* part : met) {
      const auto at = std::find(course_.parts.begin(), course_.parts.end(), part);
      order.push_back(static_cast<std::size_t>(at - course_.parts.begin()));
    }
    return order;
  }
  static void collect(const Way& way, std::vector<const PartPoint*>& met) {
    if (way.part != nullptr) met.push_back(way.part);
    for (const Way& inner : way.ways) collect(inner, met);
  }

  std::string box_id(std::size_t i) const {
    return fmt::format("{}{}", course_.air ? "air" : "coolant", i + 1);
  }
  // Outside stands twice, so that air runs through the picture and not around it.
  std::string point_id(const std::string& place, bool end) const {
    const auto at = std::distance(course_.places.begin(), course_.places.find(place));
    const bool twice = course_.air && place == course_.start;
    return fmt::format("{}_place{}{}", course_.air ? "air" : "coolant", at + 1,
                       twice && end ? "_end" : "");
  }

  void box(std::size_t i) {
    const PartPoint& part = *course_.parts[i];
    const double change = backwards(part) ? part.drop : -part.drop;
    std::string words =
        bold(part.name) +
        small(fmt::format("{},  {} {}", scales_.flow.with_unit(std::abs(part.volume_flow)),
                          scales_.pressure.change(change), scales_.pressure.unit())) +
        small("leaves at " + celsius(part.leaving));
    if (const RadiatorPoint* core = words_.radiator(part)) {
      words += small(heat_words(*core));
    }
    if (const ChipPoint* chip = words_.chip_on(part)) words = with_chip(words, *chip);
    out_ += fmt::format("  {} [label=<{}>, color=\"{}\", fillcolor=\"{}\"]\n", box_id(i), words,
                        colours_.line, colours_.fill);
  }

  // A chip sits in the box of its plate.
  static std::string with_chip(const std::string& plate, const ChipPoint& chip) {
    return fmt::format(
        "<table border=\"0\" cellborder=\"0\" cellspacing=\"3\"><tr><td>{}</td></tr>"
        "<tr><td border=\"1\" color=\"{}\" bgcolor=\"{}\" cellpadding=\"5\">{}{}</td></tr></table>",
        plate, chip_colours.line, chip_colours.fill, bold(chip.name),
        small(fmt::format("{:.0f} W,  {} K over ambient", chip.load + 0.0, kelvins(chip.rise))));
  }

  // A place with a name of its own tells what it knows; any other is a point.
  void place(const std::string& name, const Course::Place& values, bool end) {
    const std::string id = point_id(name, end);
    if (!spoken(name)) {
      out_ += fmt::format("  {} [shape=point, width=0.09, color=\"{}\"]\n", id, colours_.line);
      return;
    }
    const double start = course_.places.at(course_.start).pressure;
    const std::string words =
        bold(name) +
        small(fmt::format("{},  {}", scales_.pressure.with_unit(values.pressure - start),
                          celsius(values.temperature)),
              paper);
    out_ += fmt::format(
        "  {} [shape=box, label=<{}>, color=\"{}\", fillcolor=\"{}\", fontcolor=\"{}\"]\n", id,
        words, colours_.line, colours_.line, paper);
  }

  // From a place, or from the part that alone leads to it, to the part.
  void edges(std::size_t i) {
    const PartPoint& part = *course_.parts[i];
    const std::string &from = backwards(part) ? part.to : part.from,
                      &to = backwards(part) ? part.from : part.to;
    const bool closes = !course_.air && to == course_.start;
    if (course_.places.at(from).touching != 2) {
      edge(point_id(from, false), box_id(i), part, false);
    }
    if (course_.places.at(to).touching != 2) {
      edge(box_id(i), point_id(to, true), part, closes);
      return;
    }
    for (std::size_t k = 0; k < course_.parts.size(); ++k) {
      const PartPoint& next = *course_.parts[k];
      if (k != i && (next.from == to || next.to == to)) edge(box_id(i), box_id(k), part, closes);
    }
  }

  // Width and straightness by the share of the flow; what closes the ring moves nothing.
  void edge(const std::string& from, const std::string& to, const PartPoint& part, bool closes) {
    double most = 0.0;
    for (const auto& [name, place] : course_.places) most = std::max(most, place.through);
    const double share = most > 0.0 ? std::abs(part.volume_flow) / most : 0.0;
    out_ += fmt::format(
        "  {} -> {} [color=\"{}\", penwidth={:.2f}, {}]\n", from, to, colours_.line,
        0.6 + 2.4 * share,
        closes ? std::string("constraint=false") : fmt::format("weight={:.0f}", 1.0 + 9.0 * share));
  }

  const Course& course_;
  const PartWords& words_;
  Scales scales_;
  Colours colours_;
  std::string out_;
};

}  // namespace

std::string graphviz(const Model& model, const OperatingPoint& point) {
  if (!point.summary.usable) return {};
  const PartWords words(model, point);
  std::string out = fmt::format(
      "digraph loop {{\n"
      "  graph [rankdir=TB, nodesep=0.3, ranksep=0.32, fontname=\"Helvetica,Arial,sans-serif\", "
      "labelloc=t,\n"
      "         label=<<b>{}</b><br/>{}>]\n"
      "  node [shape=box, style=\"rounded,filled\", fontname=\"Helvetica,Arial,sans-serif\", "
      "fontsize=11,\n"
      "        margin=\"0.24,0.1\", penwidth=1.2]\n"
      "  edge [fontname=\"Helvetica,Arial,sans-serif\", arrowsize=0.7]\n",
      escaped(title_of(model.cooler())), escaped(title_of(model.bench())));
  for (const bool air : {false, true}) {
    const Course course = course_of(point, air);
    if (!course.parts.empty()) out += Writer(course, words).text();
  }
  return out + "}\n";
}

}  // namespace libloop::report
