#include "libloop/network/graph.hpp"

#include <algorithm>

namespace libloop::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

struct Neighbour {
  int edge, node;
  double sign;  // +1 when the edge runs from the neighbour here
};

// By node: edges that start there, then those that end there, each in their order.
std::vector<std::vector<Neighbour>> neighbours(int nodes, std::span<const Edge> edges) {
  std::vector<std::vector<Neighbour>> all(at(nodes));
  for (std::size_t e = 0; e < edges.size(); ++e) {
    all[at(edges[e].from)].push_back({static_cast<int>(e), edges[e].to, -1.0});
  }
  for (std::size_t e = 0; e < edges.size(); ++e) {
    all[at(edges[e].to)].push_back({static_cast<int>(e), edges[e].from, 1.0});
  }
  return all;
}

// Where the paths from two nodes to their root meet.
int meeting_of(const Forest& forest, const std::vector<int>& depth, int a, int b) {
  while (a != b) {
    int& deeper = depth[at(a)] >= depth[at(b)] ? a : b;
    deeper = forest.above[at(deeper)];
  }
  return a;
}

}  // namespace

Forest spanning_forest(int nodes, std::span<const Edge> edges) {
  const std::vector<std::vector<Neighbour>> near = neighbours(nodes, edges);
  Forest f;
  f.above.assign(at(nodes), -1);
  f.up.assign(at(nodes), -1);
  f.sign.assign(at(nodes), 0.0);
  std::vector<int> depth(at(nodes), -1);
  std::vector<bool> in_tree(edges.size(), false);
  std::size_t next = 0;
  for (int root = 0; root < nodes; ++root) {
    if (depth[at(root)] >= 0) continue;
    depth[at(root)] = 0;
    f.order.push_back(root);
    // Breadth first, which keeps the loops short.
    for (; next < f.order.size(); ++next) {
      const int node = f.order[next];
      for (const Neighbour& n : near[at(node)]) {
        if (depth[at(n.node)] >= 0) continue;
        depth[at(n.node)] = depth[at(node)] + 1;
        f.above[at(n.node)] = node;
        f.up[at(n.node)] = n.edge;
        f.sign[at(n.node)] = n.sign;
        in_tree[at(n.edge)] = true;
        f.order.push_back(n.node);
      }
    }
  }
  for (std::size_t e = 0; e < edges.size(); ++e) {
    if (in_tree[e]) continue;
    f.chords.push_back(static_cast<int>(e));
    f.meeting.push_back(meeting_of(f, depth, edges[e].from, edges[e].to));
  }
  return f;
}

std::vector<Step> loop_of(const Forest& forest, std::span<const Edge> edges, int chord) {
  const int edge = forest.chords[at(chord)];
  const int meeting = forest.meeting[at(chord)];
  std::vector<Step> loop{{edge, 1.0}};
  const auto climb_from = [&](int node, double sign) {
    for (; node != meeting; node = forest.above[at(node)]) {
      loop.push_back({forest.up[at(node)], sign * forest.sign[at(node)]});
    }
  };
  climb_from(edges[at(edge)].to, 1.0);
  climb_from(edges[at(edge)].from, -1.0);
  return loop;
}

void spread(const Forest& forest, std::span<const Edge> edges, std::span<const double> chord,
            std::vector<Sum>& scratch, std::vector<double>& edge) {
  scratch.assign(forest.order.size(), {});
  edge.resize(edges.size());
  for (std::size_t c = 0; c < forest.chords.size(); ++c) {
    const int e = forest.chords[c];
    edge[at(e)] = chord[c];
    scratch[at(edges[at(e)].from)].add(-chord[c]);
    scratch[at(edges[at(e)].to)].add(chord[c]);
  }
  // What arrives below a node leaves through the edge above it.
  for (std::size_t i = forest.order.size(); i-- > 0;) {
    const std::size_t node = at(forest.order[i]);
    const int e = forest.up[node];
    if (e < 0) continue;
    edge[at(e)] = forest.sign[node] * scratch[node].value();
    scratch[at(forest.above[node])].add(scratch[node], 1.0);
  }
}

void climb(const Forest& forest, std::span<const double> drop, std::vector<Sum>& potential) {
  potential.resize(forest.order.size());
  for (const int n : forest.order) {
    const std::size_t node = at(n);
    const int e = forest.up[node];
    potential[node] = e < 0 ? Sum{} : potential[at(forest.above[node])];
    if (e >= 0) potential[node].add(forest.sign[node] * drop[at(e)]);
  }
}

std::vector<int> pieces(int nodes, std::span<const Edge> edges) {
  const Forest forest = spanning_forest(nodes, edges);
  std::vector<int> piece(at(nodes), -1);
  int count = 0;
  for (const int n : forest.order) {
    const int above = forest.above[at(n)];
    piece[at(n)] = above < 0 ? count++ : piece[at(above)];
  }
  return piece;
}

namespace {

// Tarjan's depth-first search, written without recursion: a chain may be long.
class BlockSearch {
 public:
  BlockSearch(int nodes, std::span<const Edge> edges)
      : edges_(edges), near_(neighbours(nodes, edges)), time_(at(nodes), -1), low_(at(nodes)) {
    blocks_.of.assign(edges.size(), -1);
    blocks_.bridge.assign(edges.size(), false);
  }

  Blocks run() {
    for (int root = 0; root < static_cast<int>(near_.size()); ++root) {
      if (time_[at(root)] < 0) search(root);
    }
    return std::move(blocks_);
  }

 private:
  struct Visit {
    int node, arrived_by;
    std::size_t next = 0;
  };

  void enter(int node, int by) {
    time_[at(node)] = low_[at(node)] = clock_++;
    path_.push_back({node, by});
  }

  void search(int root) {
    enter(root, -1);
    while (!path_.empty()) {
      Visit& here = path_.back();
      if (here.next < near_[at(here.node)].size()) {
        look(here, near_[at(here.node)][here.next++]);
      } else {
        leave();
      }
    }
  }

  void look(Visit& here, const Neighbour& n) {
    if (n.edge == here.arrived_by || blocks_.of[at(n.edge)] >= 0) return;
    if (n.node == here.node) {
      blocks_.of[at(n.edge)] = blocks_.count++;
    } else if (time_[at(n.node)] < 0) {
      open_.push_back(n.edge);
      enter(n.node, n.edge);  // moves `here`
    } else if (time_[at(n.node)] < time_[at(here.node)]) {
      open_.push_back(n.edge);
      low_[at(here.node)] = std::min(low_[at(here.node)], time_[at(n.node)]);
    }
  }

  void leave() {
    const Visit done = path_.back();
    path_.pop_back();
    if (path_.empty()) return;
    const int above = path_.back().node;
    low_[at(above)] = std::min(low_[at(above)], low_[at(done.node)]);
    if (low_[at(done.node)] >= time_[at(above)]) close_block(done.arrived_by);
  }

  // Everything seen since `first` goes round through it.
  void close_block(int first) {
    blocks_.bridge[at(first)] = open_.back() == first;
    for (int edge = -1; edge != first;) {
      edge = open_.back();
      open_.pop_back();
      blocks_.of[at(edge)] = blocks_.count;
    }
    ++blocks_.count;
  }

  std::span<const Edge> edges_;
  std::vector<std::vector<Neighbour>> near_;
  std::vector<int> time_, low_, open_;
  std::vector<Visit> path_;
  int clock_ = 0;
  Blocks blocks_;
};

}  // namespace

Blocks blocks(int nodes, std::span<const Edge> edges) { return BlockSearch(nodes, edges).run(); }

}  // namespace libloop::network
