#include "libloop/report/pictures.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "support/charts.hpp"

namespace libloop::report {
namespace {

using namespace testing;

TEST_CASE("a cooler keeps its colour in every picture of one table") {
  PictureOptions options;
  for (int i = 0; i < 40; ++i) options.titles.push_back(title(i));
  options.best = 40;
  const Chart a = noise_chart(curves(5), 180.0, options);
  const Chart b = ranking_chart(ranking(9), options);
  for (std::size_t i = 0; i < 5; ++i) {
    CHECK(a.curves[i].look.colour == b.dots[i].look.colour);
    CHECK(a.curves[i].look.shape == b.dots[i].look.shape);
  }
}

TEST_CASE("every picture is drawn, names as they are") {
  const std::string odd = "<b>\"100 %\" `x` $y_z^2 @w {v} \\";
  Ranking r = ranking(2);
  r.rows[0].short_name = odd;
  CHECK(has(svg(ranking_chart(r)), "&lt;b"));
  std::vector<NoiseCurve> all = curves(2);
  all[0].short_name = odd;
  CHECK(has(svg(noise_chart(all, 180.0)), "&lt;b"));
  const Made m = made(2, 600);
  PictureOptions options;
  options.under_test = odd;
  CHECK(has(svg(log_chart(m.log, &m.reduction, &m.forecast, options)), "&lt;b"));
}

}  // namespace
}  // namespace libloop::report
