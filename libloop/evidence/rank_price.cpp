#include "libloop/evidence/rank_price.hpp"

#include <map>
#include <string>

namespace libloop::evidence {
namespace {

struct Priced {
  RankedCooler* row = nullptr;
  const Price* price = nullptr;
};

using ByUnit = std::map<std::string, std::vector<Priced>>;

ByUnit attach(const std::vector<Price>& prices, Ranking& ranking) {
  std::map<std::string, const Price*> by_title;
  std::map<std::string, bool> differ;
  for (const Price& price : prices) {
    const auto [place, fresh] = by_title.emplace(price.cooler, &price);
    if (!fresh && place->second->text != price.text) differ[price.cooler] = true;
  }
  ByUnit by_unit;
  for (RankedCooler& row : ranking.rows) {
    const auto found = by_title.find(row.title);
    if (found == by_title.end()) continue;
    row.price = found->second->text;
    if (differ.count(row.title) > 0) {
      row.notes.push_back("more than one price is told: the first, " + row.price + ", counts");
    }
    if (found->second->amount) by_unit[found->second->unit].push_back({&row, found->second});
  }
  return by_unit;
}

// The cheapest; of equally cheap ones the best, which comes first.
const Priced& cheapest(const std::vector<Priced>& of_unit) {
  const Priced* least = &of_unit.front();
  for (const Priced& one : of_unit) {
    if (*one.price->amount < *least->price->amount) least = &one;
  }
  return *least;
}

}  // namespace

void add_prices(const std::vector<Price>& prices, Ranking& ranking) {
  const ByUnit by_unit = attach(prices, ranking);
  if (by_unit.size() > 1) {
    ranking.notes.emplace_back("Prices are in several units; only those of one unit are compared.");
  }
  if (ranking.condition.rise) return;  // all have one rise
  for (const auto& [unit, all] : by_unit) {
    std::vector<Priced> known;
    for (const Priced& one : all) {
      if (!one.row->value.bound) known.push_back(one);
    }
    if (known.empty()) continue;
    const Priced& least = cheapest(known);
    for (const Priced& one : known) {
      const double more = *one.price->amount - *least.price->amount;
      if (more <= 0.0) continue;
      one.row->kelvin_per_price = (least.row->value.value - one.row->value.value) / more;
    }
  }
}

}  // namespace libloop::evidence
