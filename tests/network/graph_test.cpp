#include "libloop/network/graph.hpp"

#include <doctest/doctest.h>

#include <algorithm>

#include "network/elements.hpp"

using namespace libloop::network;
using libloop::testing::Dice;

namespace {

std::vector<Edge> random_edges(Dice& dice, int nodes, int count) {
  std::vector<Edge> edges;
  for (int i = 0; i < count; ++i) edges.push_back({dice.below(nodes), dice.below(nodes)});
  return edges;
}

int piece_count(int nodes, const std::vector<Edge>& edges) {
  const std::vector<int> all = pieces(nodes, edges);
  return all.empty() ? 0 : *std::max_element(all.begin(), all.end()) + 1;
}

}  // namespace

TEST_CASE("pieces are numbered by their first nodes") {
  const std::vector<Edge> edges{{0, 2}, {3, 1}};
  CHECK(pieces(5, edges) == std::vector<int>{0, 1, 0, 1, 2});
}

TEST_CASE("two rings that share a node are two blocks, and what joins them is a bridge") {
  // Rings 0-1-2 and 2-3 (two edges), a bridge 3-4, a loop at 4.
  const std::vector<Edge> edges{{0, 1}, {1, 2}, {2, 0}, {2, 3}, {3, 2}, {3, 4}, {4, 4}};
  const Blocks b = blocks(5, edges);
  CHECK(b.count == 4);
  CHECK(b.of[0] == b.of[1]);
  CHECK(b.of[1] == b.of[2]);
  CHECK(b.of[3] == b.of[4]);
  CHECK(b.of[0] != b.of[3]);
  CHECK(b.bridge == std::vector<bool>{false, false, false, false, false, true, false});
}

TEST_CASE("a bridge is an edge whose loss parts its piece; blocks share a ring") {
  for (unsigned seed = 0; seed < 200; ++seed) {
    CAPTURE(seed);
    Dice dice(seed);
    const int nodes = 2 + dice.below(9);
    const std::vector<Edge> edges = random_edges(dice, nodes, 1 + dice.below(14));
    const Blocks b = blocks(nodes, edges);
    const int whole = piece_count(nodes, edges);
    for (std::size_t e = 0; e < edges.size(); ++e) {
      CAPTURE(e);
      CHECK(b.of[e] >= 0);
      std::vector<Edge> less = edges;
      less.erase(less.begin() + static_cast<std::ptrdiff_t>(e));
      CHECK(b.bridge[e] == (piece_count(nodes, less) > whole));
    }
    // All edges of one independent loop are in one block.
    const Forest forest = spanning_forest(nodes, edges);
    for (int c = 0; c < static_cast<int>(forest.chords.size()); ++c) {
      for (const Step& step : loop_of(forest, edges, c)) {
        const auto chord = static_cast<std::size_t>(forest.chords[static_cast<std::size_t>(c)]);
        CHECK(b.of[static_cast<std::size_t>(step.edge)] == b.of[chord]);
      }
    }
  }
}

TEST_CASE("flows spread from chords balance, and are the loops' sums") {
  for (unsigned seed = 0; seed < 100; ++seed) {
    CAPTURE(seed);
    Dice dice(seed);
    const int nodes = 1 + dice.below(12);
    const std::vector<Edge> edges = random_edges(dice, nodes, 1 + dice.below(20));
    const Forest forest = spanning_forest(nodes, edges);
    std::vector<double> chord, sums(edges.size(), 0.0), flow;
    for (std::size_t c = 0; c < forest.chords.size(); ++c) {
      chord.push_back(dice.uniform(-1.0, 1.0));
      for (const Step& step : loop_of(forest, edges, static_cast<int>(c))) {
        sums[static_cast<std::size_t>(step.edge)] += step.sign * chord.back();
      }
    }
    std::vector<Sum> scratch;
    spread(forest, edges, chord, scratch, flow);
    for (std::size_t e = 0; e < edges.size(); ++e) {
      CHECK(flow[e] == doctest::Approx(sums[e]).epsilon(1e-12));
    }
    // Drops that are differences of potentials add up to nothing around every loop.
    std::vector<double> height, drop;
    for (int n = 0; n < nodes; ++n) height.push_back(dice.uniform(0.0, 1.0));
    for (const Edge& e : edges) {
      drop.push_back(height[static_cast<std::size_t>(e.from)] -
                     height[static_cast<std::size_t>(e.to)]);
    }
    std::vector<Sum> potential;
    climb(forest, drop, potential);
    for (const Edge& e : edges) {
      const auto from = static_cast<std::size_t>(e.from), to = static_cast<std::size_t>(e.to);
      CHECK(difference(potential[from], potential[to]) ==
            doctest::Approx(height[from] - height[to]).epsilon(1e-12));
    }
  }
}

TEST_CASE("a long chain is searched without recursion") {
  std::vector<Edge> edges;
  const int nodes = 200000;
  for (int n = 0; n + 1 < nodes; ++n) edges.push_back({n, n + 1});
  CHECK(blocks(nodes, edges).count == nodes - 1);
  edges.push_back({nodes - 1, 0});
  CHECK(blocks(nodes, edges).count == 1);
}

TEST_CASE("a sum keeps what rounding drops") {
  Sum sum;
  sum.add(1e16);
  sum.add(1.0);
  sum.add(-1e16);
  CHECK(sum.value() == 1.0);
}
