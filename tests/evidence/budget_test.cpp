#include "libloop/evidence/budget.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <limits>

#include "libloop/base/error.hpp"
#include "support/published.hpp"

namespace libloop {
namespace {

using testing::published;

// Voltage, current and phase of a circuit (from memory).
constexpr std::array<double, 3> inputs = {4.9990, 19.6610e-3, 1.04446};
constexpr std::array<double, 3> doubts = {0.0032, 0.0095e-3, 0.00075};
constexpr std::array<double, 9> correlations = {1, -0.36, 0.86, -0.36, 1, -0.65, 0.86, -0.65, 1};

TEST_CASE("budget agrees with the Guide's correlated example") {
  const char* source = "JCGM 100:2008, H.2, tables H.2 to H.4 (from memory)";
  const auto resistance = [](std::span<const double> x) { return x[0] / x[1] * std::cos(x[2]); };
  const auto reactance = [](std::span<const double> x) { return x[0] / x[1] * std::sin(x[2]); };
  const auto impedance = [](std::span<const double> x) { return x[0] / x[1]; };
  published("GUM H.2 resistance, ohm", source, 127.732, resistance(inputs), 1e-5);
  published("GUM H.2 reactance, ohm", source, 219.847, reactance(inputs), 1e-5);
  published("GUM H.2 impedance, ohm", source, 254.260, impedance(inputs), 1e-5);
  const auto u = [&](const auto& f) { return propagated(f, inputs, doubts, correlations); };
  // The book carries correlations with more digits than it prints.
  published("GUM H.2 u of the resistance, ohm", source, 0.071, u(resistance), 0.02);
  published("GUM H.2 u of the reactance, ohm", source, 0.295, u(reactance), 0.02);
  published("GUM H.2 u of the impedance, ohm", source, 0.236, u(impedance), 0.02);
}

TEST_CASE("two thermocouples of one class and their difference") {
  const char* source = "IEC 60584-1:2013, type K class 1, +-1.5 K (from memory); GUM 4.3.7";
  const double one = rectangular(1.5);
  published("standard uncertainty of a type K class 1 thermocouple, K", source, 0.8660, one, 1e-4);
  const auto less = [](std::span<const double> x) { return x[0] - x[1]; };
  const std::array<double, 2> x = {330.0, 298.0}, u = {one, one};
  published("standard uncertainty of the difference of two, K", source, 1.2247,
            propagated(less, x, u), 1e-4);
  const std::array<double, 4> alike = {1, 1, 1, 1};
  CHECK(propagated(less, x, u, alike) == doctest::Approx(0.0).epsilon(1e-12));
}

TEST_CASE("a budget adds squares, and by whose they are") {
  const std::vector<Contribution> budget = {{"own", 0.3, 9, Shared::no},
                                            {"bench", 0.4, 0, Shared::bench},
                                            {"mount", 1.2, 4, Shared::mount}};
  CHECK(combined(budget) == doctest::Approx(1.3));
  CHECK(combined(budget, Shared::bench) == doctest::Approx(0.4));
  CHECK(combined(budget, Shared::no) == doctest::Approx(0.3));
  CHECK(combined({}) == 0.0);
  // GUM G.2b by hand.
  CHECK(effective_freedom(budget) ==
        doctest::Approx(std::pow(1.3, 4) / (std::pow(0.3, 4) / 9 + std::pow(1.2, 4) / 4)));
  CHECK(std::isinf(effective_freedom(std::vector<Contribution>{{"bench", 0.4, 0, Shared::bench}})));
  CHECK(std::isinf(effective_freedom({})));
}

TEST_CASE("effective freedom of the Guide's example") {
  // Relative uncertainties 0.25, 0.57, 0.82 % with n = 10, 5, 15 readings.
  const std::vector<Contribution> budget = {{"1", 0.25, 9}, {"2", 0.57, 4}, {"3", 0.82, 14}};
  published("GUM G.4.1 combined, %", "JCGM 100:2008, G.4.1 (from memory)", 1.03, combined(budget),
            5e-3);
  published("GUM G.4.1 effective degrees of freedom", "JCGM 100:2008, G.4.1 (from memory)", 19.0,
            effective_freedom(budget), 0.01);
}

TEST_CASE("propagation refuses what is no budget") {
  const auto sum = [](std::span<const double> x) { return x[0] + x[1]; };
  const auto root = [](std::span<const double> x) { return std::sqrt(x[0]) + x[1]; };
  const std::array<double, 2> x = {1.0, 2.0}, u = {0.1, 0.1};
  const std::array<double, 1> short_u = {0.1};
  const std::array<double, 2> minus = {0.1, -0.1};
  const std::array<double, 2> nothing = {0.1, std::numeric_limits<double>::quiet_NaN()};
  const std::array<double, 2> edge = {0.05, 2.0};
  const std::array<double, 3> short_r = {1, 0, 0};
  const std::array<double, 4> too_large = {1, 1.2, 1.2, 1}, one_way = {1, 0.2, 0.3, 1},
                              itself = {0.9, 0, 0, 1};
  CHECK_THROWS_AS(propagated(sum, x, short_u), InputError);
  CHECK_THROWS_AS(propagated(sum, x, minus), InputError);
  CHECK_THROWS_AS(propagated(sum, x, nothing), InputError);
  CHECK_THROWS_AS(propagated(root, edge, u), InputError);
  CHECK_THROWS_AS(propagated(sum, x, u, short_r), InputError);
  CHECK_THROWS_AS(propagated(sum, x, u, too_large), InputError);
  CHECK_THROWS_AS(propagated(sum, x, u, one_way), InputError);
  CHECK_THROWS_AS(propagated(sum, x, u, itself), InputError);
}

TEST_CASE("correlations that no readings can have are refused") {
  const auto f = [](std::span<const double> x) { return x[0] + x[1] + x[2]; };
  const std::array<double, 3> x = {1, 1, 1}, u = {1, 1, 1};
  const std::array<double, 9> r = {1, -0.9, -0.9, -0.9, 1, -0.9, -0.9, -0.9, 1};
  CHECK_THROWS_AS(propagated(f, x, u, r), InputError);
}

}  // namespace
}  // namespace libloop
