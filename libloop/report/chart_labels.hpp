// Finds room for names beside what they name.
#pragma once

#include <optional>
#include <vector>

#include "libloop/report/chart.hpp"
#include "libloop/report/chart_text.hpp"

namespace libloop::report {

// A place where a text may stand, and how much worse than the best one it is; the text may need
// a stroke back to what it names.
struct Candidate {
  Text text;
  double cost = 0.0;
  std::optional<Stroke> leader;
};

// Places texts one after the other: never on another text or off the page, and where it hides
// least of what is drawn.
class Labels {
 public:
  // A text that is there already.
  void occupy(const Text& text) { boxes_.push_back(box_of(text)); }
  void occupy(const Box& box) { boxes_.push_back(box); }
  // What must not be hidden, in pixels: points along a curve. The weight of one point.
  void avoid(const std::vector<XY>& points, double weight);

  // The cheapest of the candidates, if any has room at a cost of at most `limit`.
  std::optional<Candidate> place(const std::vector<Candidate>& candidates, double limit);

 private:
  // Nothing: no room. Not counted to the end once above the limit.
  std::optional<double> cost(const Candidate& candidate, double limit) const;

  struct Ink {
    XY at;
    double weight;
  };
  std::vector<Box> boxes_;
  std::vector<Ink> ink_;
};

// Points along a line through `points` (px), about `every` px.
std::vector<XY> along(const std::vector<XY>& points, double every = 6.0);

}  // namespace libloop::report
