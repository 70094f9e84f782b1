#include "libloop/report/sections.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/text.hpp"
#include "libloop/quantity/unit.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

using Align = TextTable::Align;

constexpr std::size_t most_budgets = 4;  // beside each other on a page
constexpr std::size_t most_matters = 8;
constexpr double least_rise = 0.5;     // K, of which shares mean something
constexpr double least_effect = 0.05;  // K, that would round to nothing

std::string range_of(const Matter& matter) {
  return fmt::format("{} ({} to {})", show(matter.range.typical, matter.row->unit),
                     text::number(to_unit(matter.range.low, matter.row->unit)),
                     text::number(to_unit(matter.range.high, matter.row->unit)));
}

// Whose doubt a row is.
std::string_view owner(const Row& row) {
  switch (row.scope) {
    case Scope::bench:
      return "bench";
    case Scope::law:
      return "law";
    case Scope::product:
    case Scope::each:
      break;
  }
  return "cooler";
}

std::string gradient_words(const PredictedPoint& point) {
  const double width = point.gradient_p95 - point.gradient_p05;
  return fmt::format(
      "Exact slopes alone give a rise of {} to {} K; its ends lie at most {} K from those of the "
      "samples.",
      rounded(point.gradient_p05, width), rounded(point.gradient_p95, width),
      text::number(point.interval_gap, 2));
}

// "180 W", "100 %" in two lines; which is whose needs words where pumps vary, too.
std::string budget_head(const Duty& duty, bool pump) {
  const std::string load = text::number(duty.load), fans = percent_cell(duty.fan);
  if (!pump) return fmt::format("{} W\n{} %", load, fans);
  return fmt::format("{} W\nfans\n{} %\npump\n{} %", load, fans, percent_cell(duty.pump));
}

std::string point_budgets(const Told& told) {
  const std::vector<PredictedPoint>& all = told.prediction.points;
  // The first points; the hottest takes the last place when it is not among them.
  std::vector<const PredictedPoint*> shown;
  for (const PredictedPoint& point : all) {
    if (shown.size() < most_budgets) shown.push_back(&point);
  }
  const PredictedPoint* const top = &hottest(told.prediction);
  if (std::find(shown.begin(), shown.end(), top) == shown.end()) shown.back() = top;
  TextTable table;
  table.column("", "", Align::left);
  for (const PredictedPoint* const one : shown) {
    table.column(budget_head(one->duty, pump_varies(told.prediction)), "K");
    table.column("share", "%");
  }
  for (std::size_t k = 0; k < budget_rows.size(); ++k) {
    std::vector<std::string> cells = {std::string(budget_rows[k].name)};
    bool any = false;
    for (const PredictedPoint* const one : shown) {
      const OperatingPoint& point = one->typical;
      const double rise = point[Answer::rise];
      any = any || (point.summary.usable && point.budget[k] != 0.0);
      cells.push_back(point.summary.usable ? kelvins(point.budget[k]) : "none");
      const bool share = point.summary.usable && std::abs(rise) > least_rise;
      cells.push_back(share ? rounded(100.0 * point.budget[k] / rise, 100.0) : "");
    }
    if (any) table.row(std::move(cells));
  }
  std::vector<std::string> sum = {"rise"};
  for (const PredictedPoint* const one : shown) {
    const OperatingPoint& point = one->typical;
    sum.push_back(point.summary.usable ? kelvins(point[Answer::rise]) : "none");
    const bool share = point.summary.usable && std::abs(point[Answer::rise]) > least_rise;
    sum.push_back(share ? "100" : "");
  }
  table.row(std::move(sum));
  const std::string whose =
      several_chips(told.prediction) ? " of " + first_chip(all.front()) : std::string();
  std::string out = '\n' +
                    paragraph("", fmt::format("Where the kelvins{} go, all quantities at their "
                                              "typical values",
                                              whose)) +
                    table.text();
  if (shown.size() < all.size()) {
    out += fmt::format("  {} of {} points, the hottest among them; --json has them all.\n",
                       shown.size(), all.size());
  }
  return out;
}

}  // namespace

std::string basis(const std::vector<Told>& all) {
  const Told& first = all.front();
  const PredictedPoint& point = first.prediction.points.front();
  std::string out = "\n";
  for (const Told& told : all) {
    const std::string_view head = &told == &first ? "  cooler   " : "  against  ";
    out += paragraph(head, title_of(told.model.cooler()));
  }
  out += paragraph("  bench    ", title_of(first.model.bench()));
  out += paragraph("  air      ",
                   fmt::format("{} at the intake, {} above the sea", show(point.duty.ambient, "C"),
                               show(point.duty.altitude, "m")));
  const auto& quantities = first.model.quantities();
  const auto uncertain = std::count_if(quantities.begin(), quantities.end(),
                                       [](const Quantity& q) { return !q.range.exact(); });
  const int samples = point.samples + point.without_answer;
  out += paragraph("  doubt    ",
                   samples == 0
                       ? "typical values only, no samples"
                       : fmt::format("{} samples of {} uncertain quantities", samples, uncertain));
  return out;
}

std::string budget(const Told& told) {
  if (!several_chips(told.prediction)) return point_budgets(told);
  return chip_budgets(told) + (told.prediction.points.size() > 1 ? point_budgets(told) : "");
}

std::string matters(const Told& told) {
  std::vector<Matter> some;
  for (const Matter& matter : told.prediction.matters) {
    if (std::abs(matter.effect) >= least_effect && some.size() < most_matters) {
      some.push_back(matter);
    }
  }
  if (some.empty()) return {};
  const PredictedPoint& point = hottest(told.prediction);
  TextTable table;
  table.column("quantity", "", Align::left);
  table.column("effect", "K");
  table.column("doubt of", "", Align::left);
  table.column("", "", Align::left);
  table.column("typical (5 to 95 %)", "", Align::left);
  for (const Matter& matter : some) {
    table.row({matter.quantity, fmt::format("{:+.1f}", matter.effect),
               std::string(owner(*matter.row)), matter.given ? "given" : "assumed",
               range_of(matter)});
  }
  std::string out =
      "\n" +
      paragraph("", "What matters most for the rise at " + duty_words(told.model, point.duty)) +
      table.text();
  out += paragraph("  ",
                   "Effect: how far the doubt about this quantity alone moves the rise to "
                   "either side; minus: more of it, less rise. To state an assumed one "
                   "narrows the answer.");
  out += paragraph("  ", "Doubts of bench and law mostly drop out when coolers are compared.");
  const bool sloped = point.samples > 0 && point.typical[Answer::rise] > least_rise;
  if (sloped) out += paragraph("  ", gradient_words(point));
  return out;
}

std::string before_you_run() {
  return "\nBefore you run it\n"
         "  - Unplug the machine before you touch fittings or hoses; leak-test outside it first.\n"
         "  - Plate, hoses and radiator get hot under load; let them cool before you touch them.\n"
         "  - Glycol is harmful if swallowed: keep it from children and pets, mop up every spill.\n"
         "  - The chip's limit, the makers' instructions and local codes count, not this text.\n";
}

}  // namespace libloop::report
