// What follows the temperatures of the states at once.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "libloop/network/plan.hpp"
#include "libloop/network/solve.hpp"
#include "network/thermal_elements.hpp"

using namespace libloop;
using namespace libloop::network;

namespace {

bool is_state(const Circuit& c, int i) { return i >= c.state_row(0) && i < c.aux_row(0); }

}  // namespace

TEST_CASE("nodes of random circuits follow, with air that goes round") {
  int found = 0;
  for (unsigned seed = 0; seed < 40; ++seed) {
    CAPTURE(seed);
    testing::Dice dice(seed);
    const Circuit c = testing::random_heat_circuit(dice, 3 + dice.below(6));
    std::vector<double> x = c.start(305.0);
    Evaluation work;
    for (int s = 0; s < c.states(); ++s) x[at(c.state_row(s))] = dice.uniform(295.0, 345.0);
    const std::vector<double> before = x;
    const Summary summary = follow(c, {}, x, work);
    CAPTURE(summary.reason);
    CHECK(summary.usable);
    found += summary.usable ? 1 : 0;
    for (int i = 0; i < c.unknowns(); ++i) {
      if (is_state(c, i)) {
        CHECK(x[at(i)] == before[at(i)]);
      } else if (i >= c.loops()) {
        CHECK(std::abs(work.residual[at(i)]) < 1e-6 * 345.0);
      }
    }
  }
  CHECK(found == 40);
}

namespace {

// Where it is too hot there is no drop.
struct Broken {
  template <class T>
  using Prepared = int;
  template <class T>
  int prepare(const T*) const {
    return 0;
  }
  template <class G, class X>
  void evaluate(int, const X* in, Promote<G, X>* out) const {
    using std::sqrt;
    out[0] = in[0] * sqrt(X(310.0) - in[1]) - 1.0;
    out[1] = X(0.0) * in[1];
    out[2] = X(100.0) + 0.0 * in[1];
  }
  void notes(int, const double*, Notes&) const {}
};

}  // namespace

TEST_CASE("a law that is not finite ends with a reason") {
  Circuit c(0);
  const int stream = c.add_stream({"fluid"}), state = c.add_state("state");
  const int a = c.add_node(stream, "a");
  const int b = testing::add_branch(c, stream, a, a);
  c.add(
      adapt("broken", {{Input::Kind::flow, b}, {Input::Kind::state, state}},
            {{Output::Kind::drop, b}, {Output::Kind::heat, state}, {Output::Kind::capacity, state}},
            {}, Broken{}));
  c.close();
  c.prepare(std::vector<double>{});
  std::vector<double> x = c.start(300.0);
  Evaluation work;
  CHECK(follow(c, {}, x, work).usable);
  x[at(c.state_row(0))] = 320.0;
  const Summary summary = follow(c, {}, x, work);
  CHECK_FALSE(summary.usable);
  CHECK(summary.reason == "not_finite");
  CHECK_FALSE(summary.why.empty());
}
