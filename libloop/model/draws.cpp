#include "libloop/model/draws.hpp"

#include <algorithm>
#include <cmath>

#include "libloop/base/error.hpp"
#include "libloop/math/sampling.hpp"

namespace libloop {
namespace {

// Whether a doubt is common to all coolers on a bench.
bool shared(const Quantity& q) {
  return q.row->scope == Scope::bench || q.row->scope == Scope::law;
}

}  // namespace

std::vector<Draw> draws(const Model& model, const PredictOptions& options) {
  std::vector<Draw> all;
  const std::vector<Quantity>& quantities = model.quantities();
  for (std::size_t i = 0; i < quantities.size(); ++i) {
    const Quantity& q = quantities[i];
    if (q.range.exact()) continue;
    const std::string name =
        options.copy && !options.alike && !shared(q) ? "other: " + q.name : q.name;
    all.push_back({i, Spread(q.range, q.row->transform, q.row->min, q.row->max),
                   options.samples > 0 ? latin_column(name, options.seed, options.samples)
                                       : std::vector<double>()});
  }
  return all;
}

void apply(const std::vector<Draw>& drawn, int sample, std::vector<double>& values) {
  for (const Draw& draw : drawn) {
    values[draw.quantity] = draw.spread.at(draw.z[static_cast<std::size_t>(sample)]);
  }
}

void check_samples(int samples) {
  if (samples >= 0 && samples <= 1000000) return;
  throw InputError(
      Problem{Code::call, "the number of samples is out of bounds", "Between 0 and 1000000.", {}});
}

Interval interval_of(std::vector<double> values, double typical) {
  values.erase(std::remove_if(values.begin(), values.end(), [](double v) { return std::isnan(v); }),
               values.end());
  if (values.empty()) return {typical, typical, typical, typical};
  std::sort(values.begin(), values.end());
  return {sample_quantile(values, 0.05), sample_quantile(values, 0.50),
          sample_quantile(values, 0.95), typical};
}

}  // namespace libloop
