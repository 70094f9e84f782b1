#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>

#include "libloop/base/error.hpp"
#include "libloop/report/chart_labels.hpp"
#include "libloop/report/chart_parts.hpp"
#include "libloop/report/pictures_parts.hpp"

namespace libloop::report {
namespace {

constexpr double to_95 = 1.645;         // standard deviations of a normal quantity
constexpr double name_size = 30.0;      // px, of writing
constexpr double name_margin = 330.0;   // px, right of the plot
constexpr double longest_name = 300.0;  // px
constexpr double plot_top = 200.0, axis_room = 120.0, plot_left = 150.0;  // px
constexpr double beside = 24.0, above = 32.0;  // px, from a point to its name
constexpr int rungs = 14;                      // places up and down for a name with a leader
constexpr double rung = 38.0;                  // px
// What a name may cost before it is left out, in points of curves hidden; judgement.
constexpr double muted_limit = 30.0, any_limit = 1e9;
constexpr double dot_weight = 8.0;

// Rise at a level, along the curve and level beyond its ends.
double rise_at(const NoiseCurve& curve, double level) {
  const auto& p = curve.points;
  if (level <= p.front().level) return p.front().rise;
  for (std::size_t i = 1; i < p.size(); ++i) {
    if (level > p[i].level || p[i].level == p[i - 1].level) continue;
    const double share = (level - p[i - 1].level) / (p[i].level - p[i - 1].level);
    return p[i - 1].rise + share * (p[i].rise - p[i - 1].rise);
  }
  return p.back().rise;
}

// The middle one of the curves' own middles.
double middle_level(const std::vector<const NoiseCurve*>& curves) {
  std::vector<double> middles;
  for (const NoiseCurve* c : curves) {
    middles.push_back((c->points.front().level + c->points.back().level) / 2.0);
  }
  std::sort(middles.begin(), middles.end());
  return middles[middles.size() / 2];
}

std::vector<const NoiseCurve*> best_first(const std::vector<NoiseCurve>& curves) {
  std::vector<const NoiseCurve*> all;
  for (const NoiseCurve& curve : curves) {
    if (!curve.points.empty()) all.push_back(&curve);
  }
  if (all.empty()) {
    refuse(Code::missing, "no cooler has a rise and a noise to draw",
           "Choose a load that some cooler was measured at, with its noise.");
  }
  const double level = middle_level(all);
  std::stable_sort(all.begin(), all.end(), [&](const NoiseCurve* a, const NoiseCurve* b) {
    return rise_at(*a, level) < rise_at(*b, level);
  });
  return all;
}

class NoiseChart {
 public:
  NoiseChart(const std::vector<NoiseCurve>& curves, double load, const PictureOptions& options)
      : options_(options), say_(options), curves_(best_first(curves)) {
    for (const NoiseCurve* curve : curves_) titles_.push_back(curve->title);
    chosen_ = choose(titles_, options_);
    // A curve that cannot be named says nothing: the worst of those makes room for the others.
    for (;;) {
      chart_ = Chart{};
      head(load);
      axes();
      for (std::size_t i = 0; i < chosen_.shown.size(); ++i) marks(i);
      const std::optional<std::size_t> nameless = names();
      if (!nameless) return;
      crowded_.push_back(name(*nameless));
      chosen_.shown.erase(chosen_.shown.begin() + static_cast<std::ptrdiff_t>(*nameless));
      chosen_.looks.erase(chosen_.looks.begin() + static_cast<std::ptrdiff_t>(*nameless));
    }
  }
  Chart chart() && { return std::move(chart_); }

 private:
  const NoiseCurve& curve(std::size_t i) const { return *curves_[chosen_.shown[i]]; }
  const std::string& name(std::size_t i) const {
    return curve(i).short_name.empty() ? curve(i).title : curve(i).short_name;
  }

  void axes() {
    Reach x, y;
    for (std::size_t i = 0; i < chosen_.shown.size(); ++i) {
      for (const NoiseCurve::At& p : curve(i).points) {
        x.add(p.level);
        y.add(p.rise - to_95 * p.u_rise);
        y.add(p.rise + to_95 * p.u_rise);
      }
    }
    x = x.padded(0.05);
    y = y.padded(0.06);
    chart_.area = {plot_left, plot_top, page_right - name_margin, foot_ - axis_room};
    chart_.x = {say_(Word::level_axis), x.low, x.high,
                ticks(round_values(x.low, x.high, 7), say_.mark())};
    chart_.y = {say_(Word::rise_axis), y.low, y.high,
                ticks(round_values(y.low, y.high, 6), say_.mark())};
  }

  std::vector<XY> on_the_page(std::size_t i) const {
    std::vector<XY> out;
    for (const NoiseCurve::At& p : curve(i).points) {
      out.push_back({chart_.px(p.level), chart_.py(p.rise)});
    }
    return out;
  }

  void marks(std::size_t i) {
    const Look& look = chosen_.looks[i];
    Curve line{{}, look};
    for (const NoiseCurve::At& p : curve(i).points) {
      line.points.push_back({p.level, p.rise});
      if (!p.measured) continue;
      chart_.dots.push_back({{p.level, p.rise}, look, p.predicted});
      const double half = to_95 * p.u_rise;
      if (half > 0.0) {
        chart_.bars.push_back({{p.level, p.rise - half}, {p.level, p.rise + half}, look, false});
      }
    }
    chart_.curves.push_back(std::move(line));
  }

  std::vector<XY> intervals(std::size_t i) const {
    std::vector<XY> out;
    for (const NoiseCurve::At& p : curve(i).points) {
      const double x = chart_.px(p.level), half = to_95 * p.u_rise;
      if (!p.measured) continue;
      for (const XY& at : along({{x, chart_.py(p.rise - half)}, {x, chart_.py(p.rise + half)}})) {
        out.push_back(at);
      }
    }
    return out;
  }

  // ---- names at the curves

  // Names those first that matter most; returns the last, if any, that found no room.
  std::optional<std::size_t> names() {
    Labels labels;
    for (const Text& text : chart_.all_texts()) labels.occupy(text);
    labels.occupy(Box{0.0, chart_.area.bottom - 6.0, page_right, page_bottom});
    labels.occupy(Box{0.0, 0.0, page_right, plot_top - 50.0});
    for (std::size_t i = 0; i < chosen_.shown.size(); ++i) {
      labels.avoid(along(on_the_page(i)), chosen_.looks[i].emphasis == Emphasis::muted ? 1.0 : 2.0);
      labels.avoid(intervals(i), dot_weight);
    }
    std::vector<std::size_t> order(chosen_.shown.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      return chosen_.looks[a].emphasis > chosen_.looks[b].emphasis;
    });
    std::optional<std::size_t> nameless;
    for (const std::size_t i : order) {
      const bool muted = chosen_.looks[i].emphasis == Emphasis::muted;
      const auto placed = labels.place(candidates(i), muted ? muted_limit : any_limit);
      if (!placed) {
        nameless = i;
        continue;
      }
      chart_.texts.push_back(placed->text);
      if (placed->leader) chart_.strokes.push_back(*placed->leader);
    }
    return nameless;
  }

  Text text_at(std::size_t i, const XY& at, Align align) const {
    const bool bold = chosen_.looks[i].emphasis == Emphasis::strong;
    return {fitted(name(i), longest_name, name_size, bold),
            at.x,
            at.y,
            align,
            name_size,
            bold,
            chosen_.looks[i]};
  }

  std::vector<Candidate> candidates(std::size_t i) const {
    const std::vector<XY> line = on_the_page(i);
    const XY &quiet = line.front(), &loud = line.back();
    std::vector<Candidate> all;
    all.push_back({text_at(i, {loud.x + beside, loud.y}, Align::left), 0.0, {}});
    all.push_back({text_at(i, {quiet.x - beside, quiet.y}, Align::right), 2.0, {}});
    all.push_back({text_at(i, {quiet.x, quiet.y - above}, Align::middle), 3.0, {}});
    all.push_back({text_at(i, {loud.x, loud.y - above}, Align::middle), 4.0, {}});
    all.push_back({text_at(i, {loud.x, loud.y + above}, Align::middle), 4.0, {}});
    Stroke leader{{loud.x + beside / 2.0, loud.y}, {}, chosen_.looks[i]};
    leader.look.emphasis = Emphasis::muted;
    leader.look.dash = 0;
    for (const double column : {loud.x + 2.5 * beside, chart_.area.right + beside}) {
      for (int k = -rungs; k <= rungs; ++k) {
        leader.to = {column - 6.0, loud.y + k * rung};
        const double away = std::hypot(leader.to.x - loud.x, leader.to.y - loud.y);
        all.push_back(
            {text_at(i, {column, loud.y + k * rung}, Align::left), 4.0 + 0.05 * away, leader});
      }
    }
    return all;
  }

  bool any_predicted() const {
    for (std::size_t i = 0; i < chosen_.shown.size(); ++i) {
      if (curve(i).points.front().predicted) return true;
    }
    return false;
  }

  void head(double load) {
    std::string kinds = say_(Word::measured_note);
    if (any_predicted()) kinds += ' ' + say_(Word::predicted_note);
    if (chosen_.hidden > 0) {
      kinds += ' ' + say_(Word::more_left_out, {std::to_string(chosen_.hidden)});
    }
    std::vector<std::string> notes = {kinds};
    if (!crowded_.empty()) notes.push_back(listed(say_, Word::no_room, crowded_));
    if (!chosen_.absent.empty()) notes.push_back(listed(say_, Word::no_value, chosen_.absent));
    if (!options_.note.empty()) notes.push_back(options_.note);
    const std::string ours = say_(Word::curve_title, {say_(Word::watt, {say_.number(load)})});
    foot_ = head_and_foot(chart_, options_.title.empty() ? ours : options_.title,
                          say_(Word::down_left_is_better), notes);
  }

  const PictureOptions& options_;
  Speaker say_;
  std::vector<const NoiseCurve*> curves_;  // best first
  std::vector<std::string> titles_;
  Chosen chosen_;
  std::vector<std::string> crowded_;  // names that found no room
  Chart chart_;
  double foot_ = 0.0;  // px
};

}  // namespace

Chart noise_chart(const std::vector<NoiseCurve>& curves, double load,
                  const PictureOptions& options) {
  return NoiseChart(curves, load, options).chart();
}

}  // namespace libloop::report
