#include <algorithm>
#include <cmath>

#include "libloop/base/error.hpp"
#include "libloop/quantity/unit.hpp"
#include "libloop/report/chart_parts.hpp"
#include "libloop/report/chart_text.hpp"
#include "libloop/report/pictures_parts.hpp"

namespace libloop::report {
namespace {

constexpr double to_95 = 1.645;                        // standard deviations of a normal quantity
constexpr double left_edge = 60.0;                     // px, where names may begin
constexpr double widest_name = 560.0;                  // px
constexpr double gap = 28.0;                           // px, between plot and writing
constexpr double bracket_x = 1852.0;                   // px
constexpr double least_pitch = 36.0;                   // px, of rows
constexpr double largest_name = 38.0;                  // px, of writing
constexpr double arrow_share = 0.07;                   // of the axis
constexpr double plot_top = 165.0, axis_room = 120.0;  // px

// A line of the picture: a cooler, or where some are left out.
struct Line {
  std::size_t row = 0;  // of the ranking
  Look look;
  std::size_t hidden = 0;  // so many left out; then no cooler
};

std::vector<Line> lines_of(const Chosen& chosen, std::size_t all) {
  std::vector<Line> lines;
  std::size_t next = 0;
  const auto pass = [&](std::size_t to) {
    if (to > next) lines.push_back({next, {}, to - next});
  };
  for (std::size_t i = 0; i < chosen.shown.size(); ++i) {
    pass(chosen.shown[i]);
    lines.push_back({chosen.shown[i], chosen.looks[i]});
    next = chosen.shown[i] + 1;
  }
  pass(all);
  return lines;
}

class RankingChart {
 public:
  RankingChart(const Ranking& ranking, const PictureOptions& options)
      : ranking_(ranking), options_(options), say_(options), noise_(ranking.condition.rise) {
    if (ranking.rows.empty()) {
      refuse(Code::missing, "the ranking has no cooler to draw",
             "Choose a load and a condition that some cooler was measured at.");
    }
    for (const RankedCooler& row : ranking.rows) titles_.push_back(row.title);
    head();
    choose_lines();
    layout();
    for (std::size_t i = 0; i < lines_.size(); ++i) line(i);
    brackets();
  }
  Chart chart() && { return std::move(chart_); }

 private:
  const RankedCooler& row(const Line& line) const { return ranking_.rows[line.row]; }
  std::string in_unit(const std::string& number) const {
    return say_(noise_ ? Word::decibel : Word::kelvin, {number});
  }

  std::string title() const {
    const Condition& c = ranking_.condition;
    return say_(noise_ ? Word::noise_title : Word::rise_title,
                {say_(Word::watt, {say_.number(c.load)})});
  }

  std::string held_equal() const {
    const Condition& c = ranking_.condition;
    if (c.fan_share) {
      return say_(Word::fans_at, {say_(Word::percent, {say_.number(100.0 * *c.fan_share)})});
    }
    if (c.fan_speed) {
      return say_(Word::fans_at,
                  {say_(Word::speed, {say_.number(to_unit(*c.fan_speed, "rpm"), 0)})});
    }
    if (c.level) return say_(Word::noise_at, {say_(Word::decibel, {say_.number(*c.level)})});
    if (c.rise) return say_(Word::rise_at, {say_(Word::kelvin, {say_.number(*c.rise)})});
    return say_(Word::full_fans);
  }

  void head() {
    std::string kinds = say_(Word::bar_note);
    const auto any = [&](auto&& what) {
      return std::any_of(ranking_.rows.begin(), ranking_.rows.end(), what);
    };
    bool tie = false;
    for (std::size_t i = 1; i < ranking_.rows.size(); ++i) {
      tie = tie || ranking_.rows[i].group == ranking_.rows[i - 1].group;
    }
    if (tie) kinds += ' ' + say_(Word::bracket_note);
    if (any([](const RankedCooler& r) { return r.value.bound; })) {
      kinds += ' ' + say_(Word::bound_note);
    }
    if (any([](const RankedCooler& r) { return r.value.bound || r.value.beyond; })) {
      kinds += ' ' + say_(Word::beyond_note);
    }
    std::vector<std::string> notes = {kinds};
    const Chosen chosen = choose(titles_, options_);
    if (!chosen.absent.empty()) {
      notes.push_back(listed(say_, Word::no_value, chosen.absent));
    }
    if (!options_.note.empty()) notes.push_back(options_.note);
    foot_ = head_and_foot(chart_, options_.title.empty() ? title() : options_.title,
                          held_equal() + "; " + say_(Word::lower_is_better), notes);
  }

  // As many of the rest as have room.
  void choose_lines() {
    const double high = foot_ - axis_room - plot_top;
    const auto most = static_cast<std::size_t>(high / least_pitch);
    PictureOptions options = options_;
    options.best = std::min(options.best, static_cast<int>(titles_.size()));
    for (;; --options.best) {
      lines_ = lines_of(choose(titles_, options), titles_.size());
      if (lines_.size() <= most) return;
      if (options.best == 0) {
        refuse(Code::call, "so many pinned coolers have no room in one picture",
               "Pin at most " + std::to_string(most / 2) + ".");
      }
    }
  }

  std::string name(const Line& line) const {
    if (line.hidden > 0) return say_(Word::more, {std::to_string(line.hidden)});
    const std::string& own = row(line).short_name.empty() ? row(line).title : row(line).short_name;
    return row(line).predicted ? say_(Word::predicted, {own}) : own;
  }

  std::string value(const Line& line) const {
    const Valued& v = row(line).value;
    const std::string number = in_unit(say_.number(v.value, 1));
    if (!v.bound) return number;
    return say_(noise_ ? Word::at_most : Word::at_least, {number});
  }

  static bool bold(const Line& line) { return line.look.emphasis == Emphasis::strong; }

  void layout() {
    const auto count = static_cast<double>(lines_.size());
    Area& area = chart_.area;
    area.top = plot_top;
    area.bottom = foot_ - axis_room;
    size_ = std::clamp(0.6 * (area.bottom - area.top) / count, smallest_text, largest_name);
    double names = 0.0, values = 0.0;
    for (const Line& line : lines_) {
      names = std::max(names, text_px(plain(name(line)), size_, bold(line)));
      if (line.hidden == 0) values = std::max(values, text_px(value(line), size_, bold(line)));
    }
    area.left = left_edge + std::min(names, widest_name) + gap;
    value_x_ = bracket_x - gap - 14.0;
    area.right = value_x_ - values - gap;
    chart_.y = {"", count + 0.5, 0.5, {}};
    chart_.x.title = say_(noise_ ? Word::level_axis : Word::rise_axis);
    Reach reach;
    for (const Line& line : lines_) {
      if (line.hidden > 0) continue;
      const Valued& v = row(line).value;
      reach.add(v.value - to_95 * v.u_own);
      reach.add(v.value + to_95 * v.u_own);
    }
    reach = reach.padded(0.08);
    chart_.x.low = reach.low;
    chart_.x.high = reach.high;
    chart_.x.ticks = ticks(round_values(reach.low, reach.high, 6), say_.mark());
  }

  void line(std::size_t i) {
    const Line& line = lines_[i];
    const double y = static_cast<double>(i) + 1.0, py = chart_.py(y);
    const double room = chart_.area.left - gap - left_edge;
    Look writing = line.look;
    if (line.hidden > 0) writing.emphasis = Emphasis::muted;
    chart_.texts.push_back({fitted(name(line), room, size_, bold(line)), chart_.area.left - gap, py,
                            Align::right, size_, bold(line), writing});
    if (line.hidden > 0) return;
    chart_.texts.push_back({value(line), value_x_, py, Align::right, size_, bold(line), writing});
    // A faint line leads from the name to the dot.
    chart_.y.ticks.push_back({y, ""});
    mark(row(line).value, y, line.look);
  }

  void mark(const Valued& v, double y, const Look& look) {
    const double half = to_95 * v.u_own;
    if (half > 0.0) chart_.bars.push_back({{v.value - half, y}, {v.value + half, y}, look, false});
    if (v.bound) {
      const double reach = arrow_share * (chart_.x.high - chart_.x.low);
      const double to = v.value + (noise_ ? -1.0 : 1.0) * std::max(reach, 1.3 * half);
      chart_.bars.push_back({{v.value, y}, {to, y}, look, true});
    }
    chart_.dots.push_back({{v.value, y}, look, v.bound || v.beyond});
  }

  // Rows of one group that stand in the picture, others left out between them or not.
  void brackets() {
    for (std::size_t i = 0; i < lines_.size();) {
      std::size_t last = i, end = i + 1;
      while (lines_[i].hidden == 0 && end < lines_.size()) {
        if (lines_[end].hidden == 0) {
          if (row(lines_[end]).group != row(lines_[i]).group) break;
          last = end;
        }
        ++end;
      }
      if (last > i) {
        const double half = 0.36 * (chart_.py(2.0) - chart_.py(1.0));
        Look look;
        chart_.brackets.push_back({bracket_x, chart_.py(static_cast<double>(i) + 1.0) - half,
                                   chart_.py(static_cast<double>(last) + 1.0) + half, 14.0, look});
      }
      i = last + 1;
    }
  }

  const Ranking& ranking_;
  const PictureOptions& options_;
  Speaker say_;
  bool noise_;  // ranked by noise
  std::vector<std::string> titles_;
  Chart chart_;
  std::vector<Line> lines_;
  double foot_ = 0.0, size_ = 0.0, value_x_ = 0.0;
};

}  // namespace

Chart ranking_chart(const Ranking& ranking, const PictureOptions& options) {
  return RankingChart(ranking, options).chart();
}

}  // namespace libloop::report
