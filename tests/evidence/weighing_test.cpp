#include "libloop/evidence/weighing.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace libloop;

namespace {

Courses two_courses() {
  Courses courses;
  courses.skip = 1.0;
  for (double t = 1.0; t <= 400.0; t += 1.0) courses.times.push_back(t);
  for (const double tau : {20.0, 45.0}) {
    Course course;
    course.time_constant = tau;
    course.level = 20.0;
    course.swing = 8.0;
    course.u_swing = 4.0;
    for (const double t : courses.times) course.left.push_back(std::exp(-(t - 1.0) / tau));
    courses.all.push_back(course);
  }
  courses.u_level = 5.0;
  courses.u_between = 1e-6;  // none to speak of: level and swing alone
  return courses;
}

Blocks readings() {
  std::vector<double> t, y;
  for (int i = 1; i <= 30; ++i) {
    t.push_back(i);
    y.push_back(21.0 + 9.0 * (1.0 - std::exp(-(i - 1.0) / 30.0)) + 0.3 * std::sin(2.7 * i));
  }
  return blocks_of(t, y, 0.0);
}

double normal_log(double x, double mean, double deviation) {
  const double z = (x - mean) / deviation;
  return -0.5 * z * z - std::log(deviation);
}

// Likelihood, mean of level + swing and its variance by summing over a fine grid of the two.
struct Summed {
  double likelihood = 0.0, mean = 0.0, variance = 0.0;
};

Summed by_grid(const Blocks& blocks, const Courses& courses, std::size_t k, double noise) {
  double sum = 0.0, first = 0.0, second = 0.0;
  const Course& course = courses.all[k];
  for (double level = 15.0; level <= 27.0; level += 0.02) {
    for (double swing = -5.0; swing <= 25.0; swing += 0.05) {
      double log = normal_log(level, course.level, courses.u_level) +
                   normal_log(swing, course.swing, course.u_swing);
      for (Eigen::Index i = 0; i < blocks.times.size(); ++i) {
        const double gone = 1.0 - course.left[static_cast<std::size_t>(i)];
        log += normal_log(blocks.values[i], level + swing * gone, noise);
      }
      const double p = std::exp(log);
      sum += p;
      first += p * (level + swing);
      second += p * (level + swing) * (level + swing);
    }
  }
  const double mean = first / sum;
  return {sum, mean, second / sum - mean * mean};
}

}  // namespace

TEST_CASE("weights, means and spreads are those of a sum over all levels and swings") {
  const Courses courses = two_courses();
  const Blocks blocks = readings();
  const double noise = 0.4;
  const Weighed weighed = weigh(blocks, courses, {{noise, 0.0, 0.0}});
  REQUIRE(weighed.all.size() == 2);
  const Summed sums[] = {by_grid(blocks, courses, 0, noise), by_grid(blocks, courses, 1, noise)};
  for (const Explanation& e : weighed.all) {
    const Summed& s = sums[e.course];
    CHECK(e.weight ==
          doctest::Approx(s.likelihood / (sums[0].likelihood + sums[1].likelihood)).epsilon(1e-4));
    const Eigen::Vector3d end(1.0, 1.0, 0.0);
    CHECK(end.dot(e.mean) == doctest::Approx(s.mean).epsilon(1e-5));
    CHECK(end.dot(e.spread * end) == doctest::Approx(s.variance).epsilon(1e-3));
  }
}

TEST_CASE("a course twice as likely beforehand weighs twice as much") {
  Courses courses = two_courses();
  const Blocks blocks = readings();
  const auto ratio = [&] {
    const Weighed w = weigh(blocks, courses, {{0.4, 0.0, 0.0}});
    double of[2] = {};
    for (const Explanation& e : w.all) of[e.course] = e.weight;
    return of[0] / of[1];
  };
  const double before = ratio();
  courses.all[0].weight = 2.0;
  CHECK(ratio() == doctest::Approx(2.0 * before));
}

TEST_CASE("points of a mixture") {
  const Interval one = interval_of({{1.0, 3.0, 4.0}});
  CHECK(one.p05 == doctest::Approx(3.0 - 2.0 * 1.644853627));
  CHECK(one.p50 == doctest::Approx(3.0));
  CHECK(one.p95 == doctest::Approx(3.0 + 2.0 * 1.644853627));
  // Two narrow ones: 5 % lies at half of the lower's tenth, in the lower.
  const Interval two = interval_of({{0.1, 0.0, 1e-6}, {0.9, 10.0, 1e-6}});
  CHECK(two.p05 == doctest::Approx(0.0).epsilon(1e-3));
  CHECK(two.p50 == doctest::Approx(10.0).epsilon(1e-3));
  CHECK(two.typical == doctest::Approx(9.0));
}

TEST_CASE("waves that a course leaves are seen, noise is not") {
  const Courses courses = two_courses();
  std::vector<double> t, clean, wavy;
  for (int i = 1; i <= 300; ++i) {
    t.push_back(i);
    const double y = 21.0 + 9.0 * (1.0 - std::exp(-(i - 1.0) / 45.0));
    clean.push_back(y + (i % 2 == 0 ? 0.2 : -0.2));
    wavy.push_back(y + 1.5 * std::sin(i / 40.0));
  }
  const std::vector<Noise> noises{{0.2, 0.0, 0.0}};
  const Blocks a = blocks_of(t, clean, 0.0), b = blocks_of(t, wavy, 0.0);
  CHECK(unexplained(a, courses, weigh(a, courses, noises)) < 12.0);
  CHECK(unexplained(b, courses, weigh(b, courses, noises)) > 100.0);
}
