// Plain graphs: what hangs together, what hangs loose, and a way through.
//
// You need this header to ask how the branches of a circuit are joined: which parts make
// a ring, which hang on a dead end, where the independent loops are. Nothing here knows
// of fluids.
//
// Edges have a direction only to give signs their meaning; the questions are those of an
// undirected graph. Edges from a node to itself and several edges between the same two
// nodes are allowed.
#pragma once

#include <span>
#include <vector>

namespace libloop::network {

struct Edge {
  int from = 0, to = 0;
};

// A sum that keeps what rounding drops (Knuth's two-sum): differences of long sums stay
// as exact as their terms.
struct Sum {
  double high = 0.0, low = 0.0;

  void add(double term) {
    const double sum = high + term;
    const double part = sum - high;
    low += (high - (sum - part)) + (term - part);
    high = sum;
  }
  void add(const Sum& other, double sign) {
    add(sign * other.high);
    low += sign * other.low;
  }
  double value() const { return high + low; }
};

inline double difference(const Sum& a, const Sum& b) { return (a.high - b.high) + (a.low - b.low); }

// One tree in every connected piece, rooted at the piece's first node. Every edge outside
// the trees, a chord, closes one independent loop: the chord, and the tree's path from its
// end back to its start.
struct Forest {
  std::vector<int> order;    // nodes, every one after the node above it
  std::vector<int> above;    // by node: the next node towards the root; -1 at a root
  std::vector<int> up;       // by node: the edge to it; -1 at a root
  std::vector<double> sign;  // by node: +1 when that edge runs towards the root
  std::vector<int> chords;   // edges, in their order
  std::vector<int> meeting;  // by chord: the node where the paths from both its ends meet
};

Forest spanning_forest(int nodes, std::span<const Edge> edges);

// An edge of a loop, with the sign of its direction along the chord's.
struct Step {
  int edge = 0;
  double sign = 1.0;
};

// The loop of one chord, the chord first.
std::vector<Step> loop_of(const Forest& forest, std::span<const Edge> edges, int chord);

// Flows along all edges when the chords carry `chord`: they balance at every node.
// `scratch` and `edge` are resized.
void spread(const Forest& forest, std::span<const Edge> edges, std::span<const double> chord,
            std::vector<Sum>& scratch, std::vector<double>& edge);

// Sums of `drop` from every node to its root: the potentials whose falls they are.
void climb(const Forest& forest, std::span<const double> drop, std::vector<Sum>& potential);

// The piece every node belongs to, numbered in the order of their first nodes.
std::vector<int> pieces(int nodes, std::span<const Edge> edges);

// Biconnected blocks: two edges are in one block when a ring goes through both.
struct Blocks {
  std::vector<int> of;       // by edge
  std::vector<bool> bridge;  // by edge: no ring goes through it, so nothing circulates in it
  int count = 0;
};

Blocks blocks(int nodes, std::span<const Edge> edges);

}  // namespace libloop::network
