#include "libloop/law/spreading.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <random>
#include <vector>

#include "support/published.hpp"

namespace libloop::law {
namespace {

using testing::published;

using Plate = CompoundPlate<double>;
using Sources = std::vector<HeatedRectangle<double>>;

Plate single(double side, double thickness, double conductivity) {
  return {.side_x = side,
          .side_y = side,
          .top = {thickness, conductivity},
          .interface_resistance = 0.0,
          .bottom = {0.0, conductivity}};
}

// Straight down: all layers and the film over the whole plate, K/W.
double straight(const Plate& p, double film) {
  const double area = p.side_x * p.side_y;
  return (p.top.thickness / p.top.conductivity + p.interface_resistance +
          p.bottom.thickness / p.bottom.conductivity + 1.0 / film) /
         area;
}

struct Answer {
  std::vector<double> mean, centre;
};
Answer solve(const Plate& plate, const Sources& sources, double film) {
  const Spreading<double> spreading(plate, sources);
  const std::size_t n = sources.size();
  Answer answer{std::vector<double>(n * n), std::vector<double>(n * n)};
  spreading.evaluate(film, answer.mean.data(), answer.centre.data());
  return answer;
}

// The same sum term by term, for one pair.
double brute_force(const Plate& p, const HeatedRectangle<double>& to,
                   const HeatedRectangle<double>& from, double film, int modes) {
  const double pi = 3.141592653589793;
  const auto sinc = [](double u) { return u == 0.0 ? 1.0 : std::sin(u) / u; };
  const auto through = [](double z, const PlateLayer<double>& layer, double zeta) {
    const double t = std::tanh(zeta * layer.thickness);
    const double stiffness = layer.conductivity * zeta;
    return (z + t / stiffness) / (1.0 + z * stiffness * t);
  };
  double sum = 0.0;
  for (int m = modes; m >= 0; --m) {
    const double l = m * pi / p.side_x;
    const double along_x = (m > 0 ? 2.0 : 1.0) * std::cos(l * (0.5 * p.side_x + to.x)) *
                           std::cos(l * (0.5 * p.side_x + from.x)) * sinc(0.5 * l * to.length) *
                           sinc(0.5 * l * from.length);
    for (int n = modes; n >= 0; --n) {
      if (m + n == 0) continue;
      const double d = n * pi / p.side_y;
      const double along_y = (n > 0 ? 2.0 : 1.0) * std::cos(d * (0.5 * p.side_y + to.y)) *
                             std::cos(d * (0.5 * p.side_y + from.y)) * sinc(0.5 * d * to.width) *
                             sinc(0.5 * d * from.width);
      const double zeta = std::sqrt(l * l + d * d);
      const double below = through(1.0 / film, p.bottom, zeta) + p.interface_resistance;
      sum += along_x * along_y * through(below, p.top, zeta);
    }
  }
  return sum / (p.side_x * p.side_y);
}

TEST_CASE("spreading: one centred source") {
  const char* series =
      "Yovanovich, Muzychka & Culham 1999, series (from memory; recomputed with 200 terms)";
  const char* volumes = "three-dimensional finite volumes (recomputed)";
  const Plate s1 = single(0.040, 0.002, 390.0);
  const Answer a1 = solve(s1, {{0, 0, 0.012, 0.012}}, 1e4);
  published("12x12 on 40x40x2 mm k 390 h 1e4: spreading, K/W", series, 0.122296, a1.mean[0], 1e-4);
  published("12x12 on 40x40x2 mm: total", series, 0.188001, a1.mean[0] + straight(s1, 1e4), 1e-4);
  published("12x12 on 40x40x2 mm: centre", volumes, 0.22673, a1.centre[0] + straight(s1, 1e4),
            2e-3);
  const Plate s2 = single(0.100, 0.0013, 200.0);
  const Answer a2 = solve(s2, {{0, 0, 0.025, 0.025}}, 100.0);
  published("25x25 on 100x100x1.3 mm k 200 h 100: spreading, K/W", series, 0.526325, a2.mean[0],
            1e-4);
  published("25x25 on 100x100x1.3 mm: total", series, 1.526975, a2.mean[0] + straight(s2, 100.0),
            1e-4);
  published("25x25 on 100x100x1.3 mm: centre", volumes, 1.66765, a2.centre[0] + straight(s2, 100.0),
            2e-3);
  const Plate s4 = {0.030, 0.030, {0.003, 390.0}, 0.0, {0.004, 200.0}};
  const Answer a4 = solve(s4, {{0, 0, 0.016, 0.016}}, 5e3);
  published("16x16 on 30x30, 3 mm k 390 + 4 mm k 200, h 5e3: spreading, K/W", series, 0.032089,
            a4.mean[0], 1e-4);
  published("16x16 on 30x30, two layers: total", series, 0.285080, a4.mean[0] + straight(s4, 5e3),
            1e-4);
  published("16x16 on 30x30, two layers: centre", volumes, 0.30241,
            a4.centre[0] + straight(s4, 5e3), 2e-3);
}

TEST_CASE("spreading: interface between the layers") {
  const char* source = "mode series with interface, Yovanovich et al. 1999 extended (recomputed)";
  const Plate plate = {0.032, 0.032, {0.0023, 385.0}, 1e-5, {0.002, 385.0}};
  const Answer answer = solve(plate, {{0, 0, 0.024, 0.0105}}, 2.5e4);
  published("24x10.5 on 32x32, interface 1e-5: spreading, K/W", source, 0.0370914, answer.mean[0],
            1e-4);
  published("24x10.5 on 32x32, interface 1e-5: total", source, 0.0968266,
            answer.mean[0] + straight(plate, 2.5e4), 1e-4);
}

TEST_CASE("spreading: several sources") {
  const char* source = "mode series, three sources on one plate (recomputed)";
  const Plate plate = single(0.032, 0.003, 390.0);
  const Sources sources = {{0.010 - 0.016, 0.012 - 0.016, 0.008, 0.009},
                           {0.021 - 0.016, 0.012 - 0.016, 0.008, 0.009},
                           {0.016 - 0.016, 0.025 - 0.016, 0.012, 0.007}};
  const double down = straight(plate, 2e4);
  const std::vector<double> r = solve(plate, sources, 2e4).mean;
  published("three sources: R_AA, K/W", source, 0.187652, r[0] + down, 1e-4);
  published("three sources: R_AB", source, 0.0455216, r[1] + down, 1e-4);
  published("three sources: R_BA", source, 0.0455216, r[3] + down, 1e-4);
  published("three sources: R_AC", source, 0.0300238, r[2] + down, 1e-4);
  published("three sources: R_CC", source, 0.181595, r[8] + down, 1e-4);
}

TEST_CASE("spreading: two equal sources in a doubled plate are one in its half") {
  const Plate half = {0.016, 0.032, {0.0025, 385.0}, 5e-6, {0.002, 385.0}};
  Plate whole = half;
  whole.side_x = 0.032;
  const Answer one = solve(half, {{0.001, -0.003, 0.007, 0.009}}, 2e4);
  const Answer two =
      solve(whole, {{-0.007, -0.003, 0.007, 0.009}, {0.007, -0.003, 0.007, 0.009}}, 2e4);
  // One watt in each: the straight part is the same in both.
  CHECK(two.mean[0] + two.mean[1] + 2.0 * straight(whole, 2e4) ==
        doctest::Approx(one.mean[0] + straight(half, 2e4)).epsilon(1e-6));
  CHECK(two.centre[0] + two.centre[1] + 2.0 * straight(whole, 2e4) ==
        doctest::Approx(one.centre[0] + straight(half, 2e4)).epsilon(1e-6));
}

TEST_CASE("spreading: agrees with the sum term by term") {
  std::mt19937 random(11);
  const auto between = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(random()) / 4294967296.0;
  };
  for (int i = 0; i < 5; ++i) {
    const Plate plate = {between(0.028, 0.045),
                         between(0.028, 0.045),
                         {between(0.0018, 0.003), 385},
                         between(0, 2e-5),
                         {between(0.001, 0.003), 385}};
    const Sources sources = {{between(-0.006, -0.004), between(-0.005, 0.005), 0.007, 0.010},
                             {between(0.004, 0.006), between(-0.005, 0.005), 0.009, 0.008}};
    const double film = between(5e3, 4e4);
    const Answer answer = solve(plate, sources, film);
    for (std::size_t to = 0; to < 2; ++to) {
      for (std::size_t from = 0; from < 2; ++from) {
        // 400 modes a side leave 1e-5 of the self term out; twice as many a quarter of
        // that: extrapolate.
        const double coarse = brute_force(plate, sources[to], sources[from], film, 200);
        const double fine = brute_force(plate, sources[to], sources[from], film, 400);
        const double limit = fine + (fine - coarse) / 3.0;
        CHECK(std::abs(answer.mean[2 * to + from] - limit) < 2e-6 * answer.mean[0]);
      }
    }
  }
}

TEST_CASE("spreading: smaller with a source as large as the plate, larger in the centre") {
  const Plate plate = single(0.032, 0.003, 390.0);
  const Answer whole = solve(plate, {{0, 0, 0.032, 0.032}}, 2e4);
  const double scale = solve(plate, {{0, 0, 0.01, 0.01}}, 2e4).mean[0];
  CHECK(std::abs(whole.mean[0]) < 1e-6 * scale);
  CHECK(std::abs(whole.centre[0]) < 1e-5 * scale);
  const Answer part = solve(plate, {{0, 0, 0.01, 0.01}}, 2e4);
  CHECK(part.centre[0] > part.mean[0]);
}

TEST_CASE("spreading: finite without a film and with a perfect one, falling in between") {
  const Plate plate = {0.032, 0.032, {0.0023, 385.0}, 1e-5, {0.002, 385.0}};
  const Sources sources = {{0.002, 0.0, 0.012, 0.010}};
  double before = 1e9;
  for (const double film : {0.0, 10.0, 1e3, 1e5, 1e12}) {
    const Answer answer = solve(plate, sources, film);
    CHECK(answer.mean[0] > 0.0);
    CHECK(answer.mean[0] < before);
    before = answer.mean[0];
  }
}

// Plate and one source as variables, in the order of `field`.
CompoundPlate<Gradient> lifted(const Plate& p) {
  return {Gradient::variable(p.side_x, 0),
          p.side_y,
          {Gradient::variable(p.top.thickness, 1), Gradient::variable(p.top.conductivity, 2)},
          Gradient::variable(p.interface_resistance, 3),
          {Gradient::variable(p.bottom.thickness, 4), p.bottom.conductivity}};
}

TEST_CASE("spreading: derivatives agree with differences, for all mixes of scalars") {
  const Plate plate = {0.034, 0.032, {0.0023, 385.0}, 1e-5, {0.002, 200.0}};
  const Sources sources = {{0.002, 0.001, 0.012, 0.010}};
  const double film = 2e4;
  const std::vector<HeatedRectangle<Gradient>> moving = {
      {Gradient::variable(0.002, 5), 0.001, Gradient::variable(0.012, 6), 0.010}};
  const Spreading<Gradient> spreading(lifted(plate), moving);
  Gradient mean, centre, mean_fixed, centre_fixed;
  spreading.evaluate(Gradient::variable(film, 7), &mean, &centre);
  spreading.evaluate(film, &mean_fixed, &centre_fixed);

  const auto changed = [&](int i, double share) {
    Plate p = plate;
    Sources s = sources;
    double h = film;
    double* fields[] = {
        &p.side_x,           &p.top.thickness, &p.top.conductivity, &p.interface_resistance,
        &p.bottom.thickness, &s[0].x,          &s[0].length,        &h};
    const double step = share * *fields[i];
    *fields[i] += step;
    const Answer answer = solve(p, s, h);
    return std::array<double, 3>{answer.mean[0], answer.centre[0], step};
  };
  for (int i = 0; i < 8; ++i) {
    CAPTURE(i);
    const auto up = changed(i, 1e-5);
    const auto down = changed(i, -1e-5);
    const std::size_t k = static_cast<std::size_t>(i);
    const double width = up[2] - down[2];
    const double floor = 1e-6 * mean.value / width;  // where truncation moves a mode in or out
    CHECK(std::abs(mean.slope[k] - (up[0] - down[0]) / width) <
          1e-3 * std::abs(mean.slope[k]) + 1e-3 * floor);
    CHECK(std::abs(centre.slope[k] - (up[1] - down[1]) / width) <
          1e-3 * std::abs(centre.slope[k]) + 1e-3 * floor);
    if (i < 7) CHECK(mean_fixed.slope[k] == doctest::Approx(mean.slope[k]).epsilon(1e-12));
  }
  Gradient by_film, unused;
  Spreading<double>(plate, sources).evaluate(Gradient::variable(film, 7), &by_film, &unused);
  CHECK(by_film.slope[7] == doctest::Approx(mean.slope[7]).epsilon(1e-12));
  CHECK(by_film.value == doctest::Approx(mean.value).epsilon(1e-14));
}

}  // namespace
}  // namespace libloop::law
