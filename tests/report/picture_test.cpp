#include "libloop/report/picture.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>

#include "libloop/base/text.hpp"
#include "libloop/report/part_words.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/ways.hpp"

namespace libloop::report {
namespace {

bool has(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

std::size_t count(const std::string& text, std::string_view part) {
  std::size_t times = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) {
    ++times;
  }
  return times;
}

Cooler sealed(const char* title = "Invented") {
  Cooler cooler;
  cooler.title = title;
  cooler.add("fan");
  cooler.set("radiator.class", "280");
  cooler.set("fan.count", "2");
  return cooler;
}

Bench bench() { return generic_bench("one-large-die"); }

// A point made by hand: parts with invented flows (L/min or m3/h) and drops (Pa).
class Made {
 public:
  explicit Made(bool air = false) : air_(air) { point_.summary.usable = true; }

  Made& part(const char* name, const char* from, const char* to, double flow, double drop,
             double pressure = 0.0) {
    PartPoint p;
    p.name = name;
    p.air = air_;
    p.from = from;
    p.to = to;
    p.flow = flow / 60.0;
    p.volume_flow = flow / 60000.0;
    p.drop = drop;
    p.pressure = pressure;
    p.entering = p.leaving = 303.15;
    point_.parts.push_back(p);
    return *this;
  }
  const OperatingPoint& point() const { return point_; }

 private:
  bool air_;
  OperatingPoint point_;
};

// The lines of a picture without their numbers: rails and names.
std::vector<std::string> structure(const std::string& picture, const std::string& stream) {
  std::vector<std::string> all;
  bool inside = false;
  for (const std::string& line : text::split(picture, '\n')) {
    if (line.rfind(stream, 0) == 0) {
      inside = true;
    } else if (line.empty()) {
      inside = false;
    } else if (inside && line.find('[') == std::string::npos && !has(line, "flow") &&
               !has(line, "pressure ")) {
      std::string name = line;
      for (std::size_t i = 0; i + 1 < line.size(); ++i) {
        const bool letter = std::isalnum(static_cast<unsigned char>(line[i])) != 0;
        if (!letter || line.compare(i + 1, 2, "  ") != 0) continue;
        name = line.substr(0, i + 1);
        break;
      }
      all.emplace_back(name.substr(2));
    }
  }
  return all;
}

using Lines = std::vector<std::string>;

void check_width(const std::string& text) {
  for (const std::string& line : text::split(text, '\n')) {
    CAPTURE(line);
    CHECK(text::width(line) <= page_width);
  }
}

// ---- text

TEST_CASE("a sealed loop is a ring that starts before the pump, its air runs through") {
  const Model model(sealed(), bench());
  Solver solver(model);
  const std::string out = picture(model, solver.solve({.load = 180}));
  CHECK(structure(out, "Coolant") == Lines{"╭─→─╮", "│   │ pump", "│   │ cold_plate",
                                           "│   │ tube.2", "│   │ radiator", "│   │ tube.1",
                                           "╰───╯"});
  const Lines air = structure(out, "Air");
  REQUIRE(air.size() >= 6);
  CHECK(air.front() == "● outside");
  CHECK(air.back() == "● outside");
  CHECK(std::count(air.begin(), air.end(), "├─┬ fan.1") == 1);
  CHECK(std::count(air.begin(), air.end(), "├─┬ fan.2") == 1);
  CHECK(has(out, "← 180 W, chip +"));
  CHECK(has(out, "→ 1"));
  check_width(out);
}

TEST_CASE("ways side by side hang below the place they leave from") {
  const Model model(sealed(), bench());
  Made made;
  made.part("pump", "pump.in", "pump.out", 2.0, -9000, 0)
      .part("tube.1", "split", "a", 0.8, 1000, 9000)
      .part("tube.2", "split", "b", 1.2, 500, 9000)
      .part("cold_plate.one", "a", "meeting", 0.8, 5000, 8000)
      .part("cold_plate.two", "b", "meeting", 1.2, 5500, 8500)
      .part("tube.0", "pump.out", "split", 2.0, 0, 9000)
      .part("radiator", "meeting", "pump.in", 2.0, 3000, 3000);
  const std::string out = picture(model, made.point());
  CHECK(structure(out, "Coolant") == Lines{"╭─→─╮", "│   │ pump", "│   │ tube.0", "│   ● split",
                                           "│   ├─┬ tube.1", "│   ┊ ● a", "│   ┊ ╰ cold_plate.one",
                                           "│   ├─┬ tube.2", "│   ┊ ● b", "│   ┊ ╰ cold_plate.two",
                                           "│   ● meeting", "│   │ radiator", "╰───╯"});
  CHECK(has(out, "Coolant: 2.00 L/min before pump;"));
  CHECK(has(out, "Ways side by side"));
}

TEST_CASE("a bridge between two ways leaves several ways, each between its places") {
  Made made;
  made.part("pump", "in", "s", 2.0, -10, 0)
      .part("a", "s", "x", 1.0, 4, 10)
      .part("b", "s", "y", 1.0, 5, 10)
      .part("bridge", "x", "y", 0.2, 1, 6)
      .part("c", "x", "in", 0.8, 6, 6)
      .part("d", "y", "in", 1.2, 5, 5);
  const Course course = course_of(made.point(), false);
  CHECK_FALSE(course.whole());
  CHECK(course.start == "in");
  CHECK(course.ways.size() == 6);
  CHECK(course.ways.front().from == "in");
  const Model model(sealed(), bench());
  const std::string out = picture(model, made.point());
  for (const PartPoint& part : made.point().parts) CHECK(count(out, " " + part.name + " ") == 1);
}

TEST_CASE("the flow says where a part stands, not its ports") {
  const Model model(sealed(), bench());
  Made made;
  made.part("pump", "pump.in", "pump.out", 1.0, -5000, 0)
      .part("cold_plate", "plate.in", "plate.out", -1.0, -3000, 1000)
      .part("tube.1", "pump.out", "plate.out", 1.0, 1000, 5000)
      .part("radiator", "plate.in", "pump.in", 1.0, 1000, 1000);
  const std::string out = picture(model, made.point());
  CHECK(structure(out, "Coolant") == Lines{"╭─→─╮", "│   │ pump", "│   │ tube.1",
                                           "│   │ cold_plate", "│   │ radiator", "╰───╯"});
  CHECK(has(out, "backwards"));
  CHECK(has(out, "-3.00"));
}

TEST_CASE("nothing moves, nothing breaks") {
  const Model model(sealed(), bench());
  Made made;
  made.part("pump", "pump.in", "pump.out", 0.0, 0.0)
      .part("radiator", "pump.out", "pump.in", -1e-9, 0.0);
  const std::string out = picture(model, made.point());
  CHECK(structure(out, "Coolant").size() == 4);
  CHECK_FALSE(has(out, "nan"));
  CHECK_FALSE(has(out, "backwards"));
  CHECK(has(graphviz(model, made.point()), "coolant1 -> coolant2"));
}

TEST_CASE("long names give way in their middle") {
  const Model model(sealed(), bench());
  Made made;
  const std::string tail(90, 'x');
  made.part("pump", "pump.in", "pump.out", 1.0, -5000)
      .part(("radiator." + tail + ".end").c_str(), "pump.out", "pump.in", 1.0, 5000, 5000);
  const std::string out = picture(model, made.point());
  check_width(out);
  CHECK(has(out, "…"));
  CHECK(has(out, ".end "));
}

TEST_CASE("a point without an answer has no picture") {
  const Model model(sealed(), bench());
  const OperatingPoint none;
  CHECK(picture(model, none).empty());
  CHECK(graphviz(model, none).empty());
}

// ---- DOT

// Reads a digraph as far as is needed to see that it is one: quotes, HTML-like labels,
// brackets and braces close, nodes are declared before edges use them.
struct Dot {
  std::set<std::string> nodes;
  std::vector<std::pair<std::string, std::string>> edges;
  bool closed = false;

  explicit Dot(const std::string& text) {
    std::string bare;
    int angle = 0, square = 0, curly = 0;
    bool quoted = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
      const char c = text[i];
      if (quoted) {
        quoted = c != '"';
        continue;
      }
      if (c == '-' && i + 1 < text.size() && text[i + 1] == '>' && angle == 0) {
        bare += "->";
        ++i;
        continue;
      }
      if (c == '"' && angle == 0) {
        quoted = true;
        continue;
      }
      if (c == '<') ++angle;
      if (c == '>') --angle;
      if (angle > 0 || c == '>') continue;
      square += c == '[' ? 1 : c == ']' ? -1 : 0;
      curly += c == '{' ? 1 : c == '}' ? -1 : 0;
      CHECK(square >= 0);
      CHECK(curly >= 0);
      bare += c;
    }
    closed = !quoted && angle == 0 && square == 0 && curly == 0;
    for (const std::string& line : text::split(bare, '\n'))
      statement(std::string(text::trim(line)));
  }

  void statement(const std::string& line) {
    const std::size_t arrow = line.find(" -> "), bracket = line.find(" [");
    if (bracket == std::string::npos) return;
    if (arrow < bracket) {
      edges.emplace_back(line.substr(0, arrow), line.substr(arrow + 4, bracket - arrow - 4));
    } else {
      nodes.insert(line.substr(0, bracket));
    }
  }
};

void check_dot(const std::string& text) {
  const Dot dot(text);
  CHECK(text.rfind("digraph ", 0) == 0);
  CHECK(dot.closed);
  CHECK_FALSE(dot.edges.empty());
  for (const auto& [from, to] : dot.edges) {
    CAPTURE(from);
    CAPTURE(to);
    CHECK(dot.nodes.count(from) == 1);
    CHECK(dot.nodes.count(to) == 1);
  }
}

TEST_CASE("DOT is closed and declares what its edges use") {
  const Model model(sealed(), bench());
  Solver solver(model);
  const OperatingPoint point = solver.solve({.load = 180});
  const std::string dot = graphviz(model, point);
  check_dot(dot);
  for (const PartPoint& part : point.parts) CHECK(has(dot, "<b>" + part.name + "</b>"));
  CHECK(has(dot, "<b>chip</b>"));
}

TEST_CASE("what users write cannot leave its label") {
  const Model model(sealed("a \"b\" <i>c</i> & d\\ -> {e}"), bench());
  Made made;
  made.part("pump.\"]; x -> y [label=\"", "pump.in", "pump.out", 1.0, -5000)
      .part("radiator.<b>&", "pump.out", "pump.in", 1.0, 5000, 5000);
  const std::string dot = graphviz(model, made.point());
  check_dot(dot);
  CHECK(has(dot, "<b>a &quot;b&quot; &lt;i&gt;c&lt;/i&gt; &amp; d\\ -&gt; {e}</b>"));
  CHECK(has(dot, "radiator.&lt;b&gt;&amp;"));
  CHECK(Dot(dot).edges.size() == 2);
}

// ---- the whole answer

TEST_CASE("a drawing opens with the answer") {
  const Model model(sealed(), bench());
  const std::vector<Duty> duties = {{.load = 180}};
  const Prediction prediction = predict(model, duties, {.samples = 0});
  const std::string out = drawing_text(model, prediction);
  CHECK(out.rfind("At 180 W and full fans, ", 0) == 0);
  CHECK(has(out.substr(0, out.find("\n\n")), "ambient."));
  CHECK(has(out, "typical values only, no samples"));
  check_width(out);
}

TEST_CASE("flows in the sentence keep their third digit") {
  const Model model(sealed(), bench());
  const std::vector<Duty> duties = {{.load = 180}};
  Prediction prediction = predict(model, duties, {.samples = 0});
  const auto sentence = [&](double flow) {
    constexpr double litres_per_minute = 6e4;
    prediction.points.front().typical.answer[static_cast<std::size_t>(Answer::coolant_flow)] =
        flow / litres_per_minute;
    return drawing_text(model, prediction);
  };
  CHECK(has(sentence(5.0), " 5.00 L/min of coolant"));
  CHECK(has(sentence(0.9), " 0.900 L/min of coolant"));
  CHECK(has(sentence(12.0), " 12.0 L/min of coolant"));
  CHECK(has(sentence(0.0), " 0 L/min of coolant"));
}

TEST_CASE("a radiator that warms its coolant takes heat from the air") {
  RadiatorPoint radiator;
  radiator.heat = 178.4;
  CHECK(heat_words(radiator) == "178 W to the air");
  radiator.heat = -6.2;
  CHECK(heat_words(radiator) == "6 W from the air");
}

TEST_CASE("the JSON of a drawing has chips, radiators and parts") {
  const Model model(sealed(), bench());
  const std::vector<Duty> duties = {{.load = 180}};
  const std::string out = drawing_json(model, predict(model, duties, {.samples = 0}));
  for (const char* key :
       {"load_W",         "usable",        "chips",    "radiators",   "parts",
        "notes",          "stream",        "from",     "to",          "flow_kg_per_s",
        "flow_L_per_min", "flow_m3_per_h", "drop_Pa",  "pressure_Pa", "entering_C",
        "leaving_C",      "heat_W",        "intake_K", "hottest_K",   "limit_C",
        "temperature_C",  "budget_K"}) {
    CAPTURE(key);
    CHECK(has(out, '"' + std::string(key) + "\": "));
  }
  for (const AnswerRow& row : answer_rows) {
    CAPTURE(row.key);
    CHECK(has(out, "\n  \"" + std::string(row.key) + "\": "));  // a number of the point itself
  }
}

TEST_CASE("a drawing without an answer says why") {
  const Model model(sealed(), bench());
  const std::vector<Duty> duties = {{.load = 180}};
  Prediction prediction = predict(model, duties, {.samples = 0});
  prediction.points.front().typical.summary.usable = false;
  prediction.points.front().typical.summary.why = "an invented reason";
  CHECK(drawing_text(model, prediction)
            .rfind("At 180 W and full fans there is no answer: an invented reason.", 0) == 0);
  CHECK(has(drawing_json(model, prediction), "\"why\": \"an invented reason\""));
}

}  // namespace
}  // namespace libloop::report
