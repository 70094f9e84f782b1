// What a cooler costs, beside what it does.
#pragma once

#include <vector>

#include "libloop/evidence/ranking.hpp"

namespace libloop::evidence {

// Fills price and kelvin_per_price of rows that are ranked by rise. Prices of one unit only are
// compared; a row whose rise is a bound has none.
void add_prices(const std::vector<Price>& prices, Ranking& ranking);

}  // namespace libloop::evidence
