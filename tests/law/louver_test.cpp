#include "libloop/law/louver.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "support/published.hpp"

namespace libloop::law {
namespace {

using testing::published;

constexpr double degree = 3.141592653589793 / 180.0;

// Fields in mm and degrees, in the order of the papers.
LouverGeometry<double> core(double angle, double fin_pitch, double louver_pitch, double fin_height,
                            double depth, double louver_length, double tube, double thickness) {
  return {.fin_pitch = 1e-3 * fin_pitch,
          .fin_height = 1e-3 * fin_height,
          .fin_thickness = 1e-3 * thickness,
          .louver_pitch = 1e-3 * louver_pitch,
          .louver_length = 1e-3 * louver_length,
          .louver_angle = angle * degree,
          .depth = 1e-3 * depth,
          .tube_thickness = 1e-3 * tube};
}

const LouverGeometry<double> core_a = core(27, 1.4, 1.7, 8.15, 20, 6.4, 2.0, 0.1);
const LouverGeometry<double> core_b = core(27, 1.3, 1.0, 8.0, 16, 6.8, 1.8, 0.1);
const LouverGeometry<double> core_c = core(25, 1.2, 1.2, 6.0, 27, 5.0, 2.0, 0.08);

// Cores of the range that radiators of this trade span; the same ones in every run.
template <class Check>
void over_cores(int count, const Check& check) {
  for (const auto& one : {core_a, core_b, core_c}) check(one);
  std::mt19937 random(7);
  const auto between = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(random()) / 4294967296.0;
  };
  for (int i = 0; i < count; ++i) {
    const double height = between(6.0, 9.0);
    const double angle = between(20.0, 32.0);
    const double fin_pitch = between(1.0, 2.5);
    const double louver_pitch = between(0.8, 1.6);
    const double depth = between(15.0, 45.0);
    const double louver_length = height * between(0.70, 0.92);
    const double tube = between(1.3, 2.5);
    const double thickness = between(0.06, 0.15);
    check(core(angle, fin_pitch, louver_pitch, height, depth, louver_length, tube, thickness));
  }
}

TEST_CASE("louvered core: geometry") {
  const char* source = "definitions of Chang & Wang 1997 (recomputed)";
  published("core A free area / face area", source, 0.73645, core_a.free_share(), 1e-5);
  published("core A surface per volume, 1/m", source, 1315.97, core_a.area_per_volume(), 1e-5);
  published("core A hydraulic diameter, m", source, 2.23850e-3, core_a.hydraulic_diameter(), 1e-5);
  published("core B free area / face area", source, 0.74411, core_b.free_share(), 1e-5);
  published("core B surface per volume, 1/m", source, 1428.57, core_b.area_per_volume(), 1e-5);
  published("core B hydraulic diameter, m", source, 2.08352e-3, core_b.hydraulic_diameter(), 1e-5);
  published("core C free area / face area", source, 0.69067, core_c.free_share(), 1e-5);
  published("core C surface per volume, 1/m", source, 1466.67, core_c.area_per_volume(), 1e-5);
  published("core C hydraulic diameter, m", source, 1.88364e-3, core_c.hydraulic_diameter(), 1e-5);
}

TEST_CASE("louvered core: published correlations") {
  const char* j = "Chang & Wang 1997 (known through a transcription; recomputed)";
  published("core A j, Re 100", j, 0.048164, chang_wang_j(core_a, 100.0), 1e-4);
  published("core A j, Re 200", j, 0.034294, chang_wang_j(core_a, 200.0), 1e-4);
  published("core B j, Re 300", j, 0.026841, chang_wang_j(core_b, 300.0), 1e-4);
  published("core C j, Re 120", j, 0.036886, chang_wang_j(core_c, 120.0), 1e-4);
  const char* f = "Chang et al. 2000 (known through a transcription; recomputed)";
  published("core A f, Re 100", f, 0.299228, chang_f_2000(core_a, 100.0), 1e-4);
  published("core A f, Re 200", f, 0.139038, chang_f_2000(core_a, 200.0), 1e-4);
  published("core B f, Re 300", f, 0.109496, chang_f_2000(core_b, 300.0), 1e-4);
  published("core C f, Re 120", f, 0.201573, chang_f_2000(core_c, 120.0), 1e-4);
  const char* amended = "Chang et al. 2006 (known through a transcription; recomputed)";
  published("core A amended f, Re 130", amended, 0.237350, chang_f_2006(core_a, 130.0), 1e-4);
  published("core A amended f, Re 150", amended, 0.219739, chang_f_2006(core_a, 150.0), 1e-4);
  published("core A amended f, Re 200", amended, 0.167809, chang_f_2006(core_a, 200.0), 1e-4);
  published("core A amended f, Re 230", amended, 0.126825, chang_f_2006(core_a, 230.0), 1e-4);
  published("core B amended f, Re 200", amended, 0.142463, chang_f_2006(core_b, 200.0), 1e-4);
}

TEST_CASE("louvered fin: the law in use against the published one") {
  const char* j = "Chang & Wang 1997 (known through a transcription; recomputed)";
  published("law in use, core A j, Re 200", j, 0.034294, LouveredFin(core_a).j(200.0), 1e-4);
  published("law in use, core B j, Re 300", j, 0.026841, LouveredFin(core_b).j(300.0), 1e-4);
  published("law in use, core A j, Re 100 (near the plain duct)", j, 0.048164,
            LouveredFin(core_a).j(100.0), 0.03);
  const char* f = "Chang et al. 2000 (known through a transcription; recomputed)";
  published("law in use, core A f, Re 100", f, 0.299228, LouveredFin(core_a).f(100.0), 1e-4);
  published("law in use, core C f, Re 120", f, 0.201573, LouveredFin(core_c).f(120.0), 1e-4);
  published("law in use, core B f, Re 300", f, 0.109496, LouveredFin(core_b).f(300.0), 1e-4);
  const char* amended = "Chang et al. 2006 (known through a transcription; recomputed)";
  published("law in use, core A f, Re 200", amended, 0.167809, LouveredFin(core_a).f(200.0), 0.15);
  published("law in use, core B f, Re 200", amended, 0.142463, LouveredFin(core_b).f(200.0), 0.15);
}

TEST_CASE("louvered fin: heat and pressure drop rise with flow") {
  over_cores(500, [](const LouverGeometry<double>& geometry) {
    const LouveredFin fin(geometry);
    double heat_before = 0.0;
    double drop_before = 0.0;
    double lowest = 2.0;
    for (double re = 0.25; re <= 1000.0; re *= 1.02) {
      const double heat = fin.heat_product(re);
      const double drop = fin.friction_product(re) * re;
      REQUIRE(heat > heat_before);
      REQUIRE(drop > drop_before);
      if (drop_before > 0.0)
        lowest = std::min(lowest, std::log(drop / drop_before) / std::log(1.02));
      heat_before = heat;
      drop_before = drop;
    }
    CHECK(lowest >= 0.199);
  });
}

TEST_CASE("louvered fin: never below the plain duct, and equal to it at no flow") {
  over_cores(100, [](const LouverGeometry<double>& geometry) {
    const LouveredFin louvered(geometry);
    const PlainFin plain(geometry);
    const double scale = geometry.hydraulic_diameter() / geometry.louver_pitch;
    for (const double re : {0.0, 1.0, 20.0, 60.0, 99.0, 115.0, 180.0, 400.0, 1000.0}) {
      CHECK(louvered.heat_product(re) * scale >= plain.heat_product(re * scale) * (1.0 - 1e-12));
      CHECK(louvered.friction_product(re) * scale >= plain.friction_product(re * scale) * 0.99);
    }
    CHECK(louvered.friction_product(0.0) * scale == doctest::Approx(plain.friction_product(0.0)));
    CHECK(louvered.heat_product(0.0) * scale == doctest::Approx(plain.heat_product(0.0)));
  });
}

TEST_CASE("louvered fin: value and slope are continuous") {
  over_cores(20, [](const LouverGeometry<double>& geometry) {
    const LouveredFin fin(geometry);
    const double turn = 0.2 * std::log(230.0 / 130.0);
    for (const double join :
         {10.0, 100.0, 130.0, 130.0 * std::exp(turn), 230.0 * std::exp(-turn), 230.0}) {
      const Dual<1> left = fin.friction_product(Dual<1>::variable(join * (1 - 1e-9), 0));
      const Dual<1> right = fin.friction_product(Dual<1>::variable(join * (1 + 1e-9), 0));
      CHECK(left.value == doctest::Approx(right.value).epsilon(1e-7));
      CHECK(left.slope[0] == doctest::Approx(right.slope[0]).epsilon(1e-6).scale(1e-2));
    }
    // The slope of heat by flow may turn quickly, but not jump.
    double slope_before = fin.heat_product(Dual<1>::variable(20.0, 0)).slope[0];
    double jump = 0.0;
    for (double re = 20.0; re < 400.0; re += 0.01) {
      const double slope = fin.heat_product(Dual<1>::variable(re, 0)).slope[0];
      jump = std::max(jump, std::abs(slope - slope_before));
      slope_before = slope;
    }
    CHECK(jump < 2e-4);
  });
}

TEST_CASE("fins: finite with finite slopes from no flow up") {
  const LouveredFin louvered(core_a);
  const PlainFin plain(core_a);
  for (const double re : {0.0, 1e-12, 1.0, 2.0, 3.4, 50.0, 1e5}) {
    const Dual<1> x = Dual<1>::variable(re, 0);
    for (const Dual<1>& y :
         {louvered.heat_product(x), louvered.friction_product(x), plain.heat_product(x),
          plain.friction_product(x), louvered.j(x), louvered.f(x), plain.j(x), plain.f(x)}) {
      CHECK(std::isfinite(y.value));
      CHECK(std::isfinite(y.slope[0]));
    }
  }
}

// All eight lengths and angles as variables.
LouverGeometry<Gradient> lifted(const LouverGeometry<double>& g) {
  return {.fin_pitch = Gradient::variable(g.fin_pitch, 0),
          .fin_height = Gradient::variable(g.fin_height, 1),
          .fin_thickness = Gradient::variable(g.fin_thickness, 2),
          .louver_pitch = Gradient::variable(g.louver_pitch, 3),
          .louver_length = Gradient::variable(g.louver_length, 4),
          .louver_angle = Gradient::variable(g.louver_angle, 5),
          .depth = Gradient::variable(g.depth, 6),
          .tube_thickness = Gradient::variable(g.tube_thickness, 7)};
}

TEST_CASE("louvered fin: derivatives by geometry and flow agree with differences") {
  const auto field = [](LouverGeometry<double>& g, int i) -> double& {
    double* fields[] = {&g.fin_pitch,     &g.fin_height,   &g.fin_thickness, &g.louver_pitch,
                        &g.louver_length, &g.louver_angle, &g.depth,         &g.tube_thickness};
    return *fields[i];
  };
  for (const auto& geometry : {core_a, core_b}) {
    const LouveredFin fin(lifted(geometry));
    for (const double re : {3.0, 40.0, 95.0, 110.0, 150.0, 180.0, 215.0, 500.0}) {
      const Gradient heat = fin.heat_product(re);
      const Gradient friction = fin.friction_product(re);
      for (int i = 0; i < 8; ++i) {
        LouverGeometry<double> up = geometry;
        LouverGeometry<double> down = geometry;
        const double step = 1e-6 * field(up, i);
        field(up, i) += step;
        field(down, i) -= step;
        const std::size_t k = static_cast<std::size_t>(i);
        const double dh =
            (LouveredFin(up).heat_product(re) - LouveredFin(down).heat_product(re)) / (2 * step);
        const double df =
            (LouveredFin(up).friction_product(re) - LouveredFin(down).friction_product(re)) /
            (2 * step);
        CHECK(heat.slope[k] == doctest::Approx(dh).epsilon(1e-5).scale(10.0));
        CHECK(friction.slope[k] == doctest::Approx(df).epsilon(1e-5).scale(10.0));
      }
      const LouveredFin plain_numbers(geometry);
      const Gradient x = Gradient::variable(re, 2);
      const double step = 1e-4;
      const double along =
          (plain_numbers.friction_product(re + step) - plain_numbers.friction_product(re - step)) /
          (2 * step);
      CHECK(plain_numbers.friction_product(x).slope[2] ==
            doctest::Approx(along).epsilon(1e-5).scale(0.1));
      CHECK(fin.friction_product(x).slope[2] ==
            doctest::Approx(plain_numbers.friction_product(x).slope[2] + friction.slope[2])
                .epsilon(1e-10));
      CHECK(fin.heat_product(x).slope[2] ==
            doctest::Approx(plain_numbers.heat_product(x).slope[2] + heat.slope[2]).epsilon(1e-10));
    }
  }
}

// Passages so flat that they are parallel plates.
TEST_CASE("plain fin: parallel plates") {
  LouverGeometry<double> plates = core_a;
  plates.fin_height = 10.0;
  const PlainFin fin(plates);
  CHECK(fin.friction_product(0.0) == doctest::Approx(24.0).epsilon(1e-3));
  // f Re at x+ = depth/(D_h Re): Re = depth/(D_h x+).
  const double reach = plates.depth / fin.length();
  const char* friction =
      "developing laminar flow between plates, boundary-layer marching (recomputed)";
  published("plates f Re, x+ 0.01", friction, 40.23, fin.friction_product(reach / 0.01), 0.10);
  published("plates f Re, x+ 0.05", friction, 27.35, fin.friction_product(reach / 0.05), 0.10);
  published("plates f Re, x+ 0.1", friction, 25.67, fin.friction_product(reach / 0.1), 0.10);
  const char* heat =
      "developing flow and temperature between plates, Pr 0.7, marching (recomputed)";
  const auto nusselt = [&](double x) {
    return fin.heat_product(reach / (x * 0.71)) * std::cbrt(0.71);
  };
  published("plates Nu, x* 0.01", heat, 10.69, nusselt(0.01), 0.08);
  published("plates Nu, x* 0.02", heat, 9.14, nusselt(0.02), 0.08);
  published("plates Nu, x* 0.05", heat, 8.18, nusselt(0.05), 0.08);
  published("plates Nu, x* 0.1", heat, 7.85, nusselt(0.1), 0.08);
}

TEST_CASE("entrance and exit losses") {
  const char* source = "Kays & London 1984 (from memory; C_c known through a transcription)";
  published("K_c plates, sigma 0.5", source, 0.6377, contraction_loss(0.5, 1.2), 1e-3);
  published("K_e plates, sigma 0.5", source, 0.05, expansion_loss(0.5, 1.2), 1e-3);
  published("K_c plates, sigma 0.7", source, 0.5188, contraction_loss(0.7, 1.2), 1e-3);
  published("K_e plates, sigma 0.7", source, -0.19, expansion_loss(0.7, 1.2), 1e-3);
  published("K_c louvers, sigma 0.5", source, 0.2377, contraction_loss(0.5), 1e-3);
  published("K_e louvers, sigma 0.5", source, 0.25, expansion_loss(0.5), 1e-3);
  published("K_c louvers, sigma 0.7", source, 0.1188, contraction_loss(0.7), 1e-3);
  published("K_e louvers, sigma 0.7", source, 0.09, expansion_loss(0.7), 1e-3);
}

}  // namespace
}  // namespace libloop::law
