// Trajectories of cubics written down: what is read from them.
#include "libloop/warmup/trajectory.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "libloop/warmup/pieces.hpp"

using namespace libloop;

namespace {

math::Vector of(std::initializer_list<double> values) {
  math::Vector v(static_cast<Eigen::Index>(values.size()));
  std::copy(values.begin(), values.end(), v.data());
  return v;
}

// A cubic over [begin, end] from value and rate at both ends.
Piece piece(double begin, double end, double a, double rate_a, double b, double rate_b) {
  const double h = end - begin;
  Piece p;
  p.begin = begin;
  p.end = end;
  p.before = of({a});
  p.after = of({b});
  p.p = of({h * rate_a - (b - a)});
  // x' at s = 1 is b - a - p - q.
  p.q = of({(b - a) - p.p[0] - h * rate_b});
  return p;
}

constexpr double tau = 50.0;
double warm(double t) { return 10.0 * (1.0 - std::exp(-t / tau)); }
double warming(double t) { return 10.0 / tau * std::exp(-t / tau); }

// One unknown, no chips: what is told has no rows here, so `Data` is asked by number.
Trajectory::Data exponential(int steps, double end) {
  Trajectory::Data data;
  data.unknowns = 1;
  for (int i = 0; i < steps; ++i) {
    const double a = end * i / steps, b = end * (i + 1) / steps;
    data.pieces.push_back(piece(a, b, warm(a), warming(a), warm(b), warming(b)));
  }
  return data;
}

// The same as the reading of one chip.
std::shared_ptr<Trajectory::Data> reading(std::vector<Piece> pieces) {
  auto data = std::make_shared<Trajectory::Data>();
  data->unknowns = 0;
  data->settled_chips = {10.0};
  data->pieces = std::move(pieces);
  return data;
}

}  // namespace

TEST_CASE("a piece is the cubic of its ends, value and rate") {
  const Piece p = piece(2.0, 6.0, 1.0, 0.5, 4.0, -0.25);
  CHECK(p.at(0, 2.0) == doctest::Approx(1.0));
  CHECK(p.at(0, 6.0) == doctest::Approx(4.0));
  CHECK(p.rate(0, 2.0) == doctest::Approx(0.5));
  CHECK(p.rate(0, 6.0) == doctest::Approx(-0.25));
  for (const double t : {2.5, 4.0, 5.5}) {
    const double difference = (p.at(0, t + 1e-5) - p.at(0, t - 1e-5)) / 2e-5;
    CHECK(p.rate(0, t) == doctest::Approx(difference).epsilon(1e-6));
  }
}

TEST_CASE("values between, before and after the pieces") {
  const Trajectory::Data data = exponential(100, 400.0);
  for (const double t : {0.0, 3.0, 10.0, 77.0, 333.3, 400.0}) {
    CHECK(data.at(0, t) == doctest::Approx(warm(t)).epsilon(1e-5).scale(1.0));
  }
  CHECK(data.at(0, -5.0) == doctest::Approx(0.0));
  CHECK(data.at(0, 1e6) == doctest::Approx(warm(400.0)));
}

TEST_CASE("it settles when it is inside the band for good") {
  const Trajectory t(reading(exponential(100, 400.0).pieces));
  CHECK(t.chips() == 1);
  CHECK(t.end() == 400.0);
  for (const double band : {5.0, 1.0, 0.5, 0.1}) {
    CAPTURE(band);
    const auto at = t.settles(Trace::rise, 10.0, band);
    REQUIRE(at);
    CHECK(*at == doctest::Approx(tau * std::log(10.0 / band)).epsilon(1e-4));
  }
  CHECK(*t.settles(Trace::rise, 10.0, 11.0) == 0.0);  // never outside
  CHECK_FALSE(t.settles(Trace::rise, 10.0, 1e-4));    // outside at the end
  CHECK_FALSE(t.settles(Trace::rise, 20.0, 1.0));
}

TEST_CASE("who leaves the band again has not settled, be it within one piece") {
  // Inside at both ends of the last piece, 3 K outside in its middle.
  std::vector<Piece> pieces = {piece(0.0, 10.0, 0.0, 1.0, 10.0, 1.0),
                               piece(10.0, 20.0, 10.0, 1.2, 10.0, -1.2)};
  const Trajectory t(reading(pieces));
  const auto at = t.settles(Trace::rise, 10.0, 0.5);
  REQUIRE(at);
  CHECK(*at > 19.0);
  CHECK(*at < 20.0);
  CHECK(std::abs(t.at(Trace::rise, *at) - 10.0) == doctest::Approx(0.5).epsilon(1e-6));
  CHECK(*t.settles(Trace::rise, 10.0, 3.1) < 10.0);
}

TEST_CASE("settling counts from the last change") {
  auto data =
      reading({piece(0.0, 100.0, 0.0, 0.0, 5.0, 0.0), piece(100.0, 200.0, 5.0, 0.0, 10.0, 0.0)});
  data->last_change = 100.0;
  const Trajectory t(data);
  const auto at = t.settles(Trace::rise, 10.0, 2.5);
  REQUIRE(at);
  CHECK(*at == doctest::Approx(50.0));
  // What happened before does not count.
  CHECK(*t.settles(Trace::rise, 7.5, 2.6) == 0.0);
}

TEST_CASE("an empty trajectory has no end and no steps") {
  const Trajectory t(std::make_shared<Trajectory::Data>());
  CHECK(t.end() == 0.0);
  CHECK(t.steps().empty());
  CHECK_FALSE(t.summary().usable);
}
