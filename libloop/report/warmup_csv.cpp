#include <cmath>
#include <vector>

#include "libloop/quantity/unit.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/warmup.hpp"
#include "libloop/report/warmup_series.hpp"
#include "libloop/report/warmup_words.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

using Cells = std::vector<std::string>;

std::string cell(double value) { return std::isfinite(value) ? exact(settled(value)) : ""; }

Cells head_of(const std::vector<Series>& all) {
  Cells head = {"load_W", "fan_fraction", "pump_fraction", "ambient_C", "time_s"};
  for (const Series& series : all) {
    if (series.columns.empty()) continue;
    for (const SeriesColumn& column : series.columns) head.push_back(column.key);
    break;
  }
  return head;
}

}  // namespace

std::string csv(const Model&, const WarmupPrediction& prediction, const SeriesOptions& options) {
  need_points(prediction);
  std::vector<Series> all;
  for (const WarmupPoint& point : prediction.points) all.push_back(series_of(point, options));
  std::string out = csv_line(head_of(all));
  for (std::size_t p = 0; p < all.size(); ++p) {
    const Duty& duty = prediction.points[p].asked.duty;
    for (std::size_t i = 0; i < all[p].times.size(); ++i) {
      const double t = all[p].times[i];
      const Duty now = duty_at(prediction.points[p].asked.profile, t, duty);
      Cells cells = {exact(tidy(now.load)), exact(tidy(now.fan)), exact(tidy(now.pump)),
                     exact(tidy(to_unit(now.ambient, "C"))), cell(t)};
      for (const SeriesColumn& column : all[p].columns) cells.push_back(cell(column.values[i]));
      out += csv_line(cells);
    }
  }
  return out;
}

}  // namespace libloop::report
