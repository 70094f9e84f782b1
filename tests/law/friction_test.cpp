#include "libloop/law/friction.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "libloop/math/dual.hpp"
#include "support/published.hpp"

using namespace libloop;
using namespace libloop::law;
using libloop::testing::published;

namespace {

double colebrook(double reynolds, double roughness) {
  double root = 0.2;  // sqrt(f)
  for (int i = 0; i < 60; ++i)
    root = 1.0 / (-2.0 * std::log10(roughness / 3.7 + 2.51 / (reynolds * root)));
  return root * root;
}

}  // namespace

TEST_CASE("Churchill's friction factor") {
  const char* library = "Churchill 1977, known through a transcription (python3-fluids)";
  published("Churchill Re 1e5 e/D 1e-4", library, 0.0184626246, churchill(1e5, 1e-4), 1e-8);
  published("Churchill Re 1e4 smooth", library, 0.031002, churchill(1e4, 0.0), 2e-5);
  published("Churchill Re 2300 smooth", library, 0.030840, churchill(2300.0, 0.0), 2e-5);
  published("Churchill Re 1000 smooth", library, 0.064000, churchill(1000.0, 0.0), 1e-5);
}

TEST_CASE("turbulent friction lies within 2.5 % of Colebrook") {
  const char* source = "Colebrook 1939, solved here";
  published("Churchill against Colebrook, Re 1e5 e/D 1e-4", source, 0.0185138661,
            churchill(1e5, 1e-4), 0.025);
  published("Churchill against Colebrook, Re 1e4 smooth", source, 0.030883, churchill(1e4, 0.0),
            0.025);
  for (double reynolds : {6e3, 1e4, 3e4, 1e5, 1e6})
    for (double roughness : {1e-9, 1e-4, 1e-3, 1e-2}) {
      CAPTURE(reynolds);
      CAPTURE(roughness);
      CHECK(churchill(reynolds, roughness) ==
            doctest::Approx(colebrook(reynolds, roughness)).epsilon(0.025));
    }
}

TEST_CASE("water at 40 C in a hose") {
  const char* source = "Churchill 1977, own evaluation with python3-fluids";
  const double density = 992.215763;
  const double viscosity = 6.527335e-4;
  const auto pascal_per_metre = [&](double bore, double litre_per_minute) {
    const double area = 0.25 * 3.14159265358979323846 * bore * bore;
    const double velocity = litre_per_minute / 60e3 / area;
    const double reynolds = density * velocity * bore / viscosity;
    return churchill_f_re(reynolds, 0.0) * viscosity * velocity / (2.0 * bore * bore);
  };
  published("hose 6 mm 1 L/min, Pa/m", source, 1064.9, pascal_per_metre(0.006, 1.0), 1e-4);
  published("hose 10 mm 0.5 L/min, Pa/m", source, 22.16, pascal_per_metre(0.010, 0.5), 3e-4);
}

TEST_CASE("f·Re is 64 and flat at zero flow") {
  for (double reynolds : {0.0, 1e-300, 1e-6, 1.0, 99.9, 100.0, 101.0}) {
    const Dual<1> at = Dual<1>::variable(reynolds, 0);
    const Dual<1> f_re = churchill_f_re(at, Dual<1>(0.05));
    CHECK(f_re.value == 64.0);
    CHECK(std::abs(f_re.slope[0]) < 1e-40);
    CHECK(std::isfinite(churchill_f_re(Dual<1>(reynolds), Dual<1>::variable(0.0, 0)).slope[0]));
  }
}

TEST_CASE("pressure drop rises with flow, and slopes equal differences") {
  for (double roughness : {0.0, 1e-4, 0.1}) {
    double last = 0.0;
    for (double reynolds = 1e-6; reynolds < 1e8; reynolds *= 1.02) {
      CAPTURE(reynolds);
      const double drop = churchill_f_re(reynolds, roughness) * reynolds;
      CHECK(drop > last);
      last = drop;
      const double h = 1e-4 * reynolds;
      const double difference =
          (churchill_f_re(reynolds + h, roughness) - churchill_f_re(reynolds - h, roughness)) /
          (2 * h);
      const Dual<1> y = churchill_f_re(Dual<1>::variable(reynolds, 0), Dual<1>(roughness));
      CHECK(std::abs(y.slope[0] - difference) < 2e-6 * y.value / reynolds);
    }
  }
}

TEST_CASE("losses at fittings") {
  const char* library = "Hooper 1981, known through a transcription (python3-fluids)";
  const double bore = 0.4 * 0.0254;
  published("threaded elbow 0.4 in Re 100", library, 9.4, two_k(100.0, 800.0, 0.40, bore), 1e-9);
  published("threaded elbow 0.4 in Re 500", library, 3.0, two_k(500.0, 800.0, 0.40, bore), 1e-9);
  CHECK(two_k_re(0.0, 800.0, 0.40, bore) == 800.0);
  published("expansion to twice the diameter", "Borda-Carnot, exact by momentum", 0.5625,
            sudden_expansion(0.25), 1e-12);
  const char* memory = "handbook contraction, from memory";
  published("contraction to half the diameter", memory, 0.375, sudden_contraction(0.25), 1e-12);
  published("contraction to 0.8 of the diameter", memory, 0.18, sudden_contraction(0.64), 1e-12);
  const char* rennels = "Rennels and Hudson 2012, known through a transcription (python3-fluids)";
  published("contraction to half the diameter, other law", rennels, 0.4956,
            sudden_contraction(0.25), 0.25);
  published("contraction to 0.8 of the diameter, other law", rennels, 0.2303,
            sudden_contraction(0.64), 0.25);
}
