#include "libloop/evidence/mounts.hpp"

#include <doctest/doctest.h>

#include <cmath>

namespace libloop::evidence {

TEST_CASE("shifts of a full table are the mountings' means") {
  std::vector<MountPoint> points;
  const double shift[] = {0.03, -0.01, -0.02};
  for (std::size_t c = 0; c < 4; ++c) {
    for (std::size_t m = 0; m < 3; ++m) points.push_back({c, m, 3.0 + 0.1 * double(c) + shift[m]});
  }
  const MountFit fit = fit_mounts(points, 3);
  for (std::size_t m = 0; m < 3; ++m) CHECK(fit.shift[m] == doctest::Approx(shift[m]));
  CHECK(fit.sets == 1);
  CHECK(fit.fewest == 3);
  CHECK(fit.freedom() == 2.0);
  CHECK(fit.squares() == doctest::Approx(0.0014));
}

TEST_CASE("a remount at one condition moves the whole table") {
  // By hand: the only shared condition differs by 0.04, half to each.
  const std::vector<MountPoint> points{{0, 0, 3.0}, {1, 0, 3.5}, {2, 0, 4.0}, {1, 1, 3.54}};
  const MountFit fit = fit_mounts(points, 2);
  CHECK(fit.shift[0] == doctest::Approx(-0.02));
  CHECK(fit.shift[1] == doctest::Approx(0.02));
}

TEST_CASE("mountings that share no condition tell nothing of their scatter") {
  const std::vector<MountPoint> points{{0, 0, 3.0}, {1, 1, 3.5}, {1, 2, 3.7}};
  const MountFit fit = fit_mounts(points, 3);
  CHECK(fit.sets == 2);
  CHECK(fit.fewest == 1);
  CHECK(fit.freedom() == 1.0);
  CHECK(fit.shift[0] == doctest::Approx(0.0));
  CHECK(fit.shift[2] == doctest::Approx(0.1));
  CHECK(fit_mounts({}, 1).shift.size() == 1);
}

TEST_CASE("mountings joined over a third are one set") {
  const std::vector<MountPoint> points{{0, 0, 1.0}, {0, 1, 1.2}, {1, 1, 2.0}, {1, 2, 2.3}};
  const MountFit fit = fit_mounts(points, 3);
  CHECK(fit.sets == 1);
  CHECK(fit.shift[1] - fit.shift[0] == doctest::Approx(0.2));
  CHECK(fit.shift[2] - fit.shift[1] == doctest::Approx(0.3));
  CHECK(fit.shift[0] + fit.shift[1] + fit.shift[2] == doctest::Approx(0.0));
}

}  // namespace libloop::evidence
