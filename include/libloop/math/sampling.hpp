// Latin-hypercube samples of standard normals, one column a quantity.
//
// The column of a quantity depends on its name alone, so two models that share a quantity
// draw the same values for it, and adding one quantity changes no other column.
#pragma once

#include <string_view>
#include <vector>

namespace libloop {

// Inverse of the standard normal distribution, 0 < p < 1.
double normal_quantile(double p);

// `size` standard normals, one from each of `size` equally likely slices, in an order
// fixed by `name` and `seed`.
std::vector<double> latin_column(std::string_view name, unsigned long long seed, int size);

// The p-quantile of `sorted` (ascending, not empty), linear between order statistics.
double sample_quantile(const std::vector<double>& sorted, double p);

}  // namespace libloop
