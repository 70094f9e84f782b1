#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/text.hpp"
#include "libloop/report/prediction.hpp"
#include "libloop/report/sections.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

using Align = TextTable::Align;

// "2.1 K cooler", "0.4 K warmer"
std::string warmer(double difference, double width) {
  return fmt::format("{} K {}", rounded(std::abs(difference), width),
                     difference < 0.0 ? "cooler" : "warmer");
}

std::string span_words(const Interval& d) {
  const double width = d.p95 - d.p05;
  if ((d.p05 < 0.0) != (d.p95 < 0.0)) return warmer(d.p05, width) + " to " + warmer(d.p95, width);
  return fmt::format("{} to {} K {}", rounded(std::min(std::abs(d.p05), std::abs(d.p95)), width),
                     rounded(std::max(std::abs(d.p05), std::abs(d.p95)), width),
                     d.p50 < 0.0 ? "cooler" : "warmer");
}

std::string headline(const Model& cooler, const std::string& first, const std::string& second,
                     const Comparison& comparison) {
  const std::size_t point = comparison.cooler.matters_point;
  const std::string at =
      duty_words(cooler, hottest(comparison.cooler).duty) + hottest_words(comparison.cooler);
  if (!both_usable(comparison, point)) {
    return fmt::format("At {} there is no answer for both coolers, hence no difference.", at);
  }
  const Interval& d = comparison.difference[point][static_cast<std::size_t>(Answer::rise)];
  const double width = d.p95 - d.p05;
  constexpr double nothing = 1e-4;  // K
  if (std::max({std::abs(d.p05), std::abs(d.p50), std::abs(d.p95)}) < nothing) {
    return fmt::format("At {} {} and {} do not differ.", at, first, second);
  }
  if (without_samples(comparison.cooler)) {
    return fmt::format("At {} {} runs {} than {} (typical values only).", at, first,
                       warmer(d.p50, width), second);
  }
  if (d.p05 < 0.0 && d.p95 > 0.0) {
    return fmt::format("At {} {} and {} cannot be told apart: most likely {} runs {} ({}, 5-95 %).",
                       at, first, second, first, warmer(d.p50, width), span_words(d));
  }
  return fmt::format("At {} {} runs {} than {} ({}, 5-95 %).", at, first, warmer(d.p50, width),
                     second, span_words(d));
}

std::string drawn_alone(const Comparison& comparison, bool alike) {
  if (alike || without_samples(comparison.cooler)) return {};
  return '\n' + paragraph("  ",
                          "The two coolers' own doubts are drawn independently: a cooler against "
                          "its own file does not give exactly the same tables.");
}

// ---- where the difference comes from

std::string budgets(const Comparison& comparison) {
  const std::size_t point = comparison.cooler.matters_point;
  const OperatingPoint& a = comparison.cooler.points[point].typical;
  const OperatingPoint& b = comparison.other.points[point].typical;
  if (!both_usable(comparison, point)) return {};
  TextTable table;
  table.column("", "", Align::left);
  table.column("first", "K");
  table.column("second", "K");
  table.column("difference", "K");
  for (std::size_t k = 0; k < budget_rows.size(); ++k) {
    if (a.budget[k] == 0.0 && b.budget[k] == 0.0) continue;
    table.row({std::string(budget_rows[k].name), kelvins(a.budget[k]), kelvins(b.budget[k]),
               kelvins(a.budget[k] - b.budget[k])});
  }
  const double rise_a = a[Answer::rise], rise_b = b[Answer::rise];
  table.row({"rise", kelvins(rise_a), kelvins(rise_b), kelvins(rise_a - rise_b)});
  const std::string_view at =
      comparison.difference.size() > 1 ? " at the hottest point of the first" : "";
  const std::string whose = several_chips(comparison.cooler)
                                ? " of " + first_chip(comparison.cooler.points[point])
                                : std::string();
  return '\n' +
         paragraph("",
                   fmt::format("Where the kelvins{} go{}, all quantities at their typical values",
                               whose, at)) +
         table.text();
}

// Two titles that can be told apart.
std::pair<std::string, std::string> names(const Model& cooler, const Model& other) {
  const std::string a = title_of(cooler.cooler()), b = title_of(other.cooler());
  if (a != b) return {"'" + a + "'", "'" + b + "'"};
  return {"'" + a + "' (first)", "'" + b + "' (second)"};
}

}  // namespace

std::string text(const Model& cooler, const Model& other, const Comparison& comparison,
                 bool alike) {
  const auto [first, second] = names(cooler, other);
  const Told one{cooler, comparison.cooler, first};
  const Told two{other, comparison.other, second};
  return paragraph("", headline(cooler, first, second, comparison)) + cautions({one, two}) +
         basis({one, two}) + difference(first, second, comparison, alike) + points(one) +
         points(two) + chips(one) + chips(two) + radiators(one) + radiators(two) +
         drawn_alone(comparison, alike) + budgets(comparison) + matters(one) + notes({one, two}) +
         before_you_run();
}

}  // namespace libloop::report
