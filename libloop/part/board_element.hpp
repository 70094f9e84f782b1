// The board under the chip, and the air around everything.
//
// BoardElement         inputs   board, air around
//                      outputs  heat into board, heat into the air around, capacity,
//                               answers heat_in, heat_out
// SurroundingsElement  inputs   air around
//                      outputs  its balance (heat when warming, definition when open),
//                               capacity (when warming), answer its temperature
#pragma once

#include <string>
#include <vector>

#include "libloop/network/circuit.hpp"
#include "libloop/part/bench.hpp"
#include "libloop/part/board.hpp"
#include "libloop/part/chip.hpp"
#include "libloop/part/conditions.hpp"
#include "libloop/part/surroundings.hpp"
#include "libloop/quantity/table.hpp"

namespace libloop {

class BoardElement {
 public:
  const Sheet* board = nullptr;
  const Sheet* chip = nullptr;
  const Sheet* conditions = nullptr;

  template <class T>
  struct Prepared {
    T own_heat{}, to_air{}, capacity{};
    network::Scales<1> scale;
  };

  template <class T>
  Prepared<T> prepare(const T* q) const {
    const Board<T> b = take<Board>(*board, q);
    const Chip<T> c = take<Chip>(*chip, q);
    const Conditions<T> at = take<Conditions>(*conditions, q);
    return {b.own_heat * c.load.or_else(at.load), b.air_conductance, b.capacity, {}};
  }

  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    const Promote<G, X> to_air = p.scale[0] * p.to_air * (in[0] - in[1]);
    out[0] = p.own_heat - to_air;
    out[1] = to_air;
    out[2] = Promote<G, X>(p.capacity);
    out[3] = Promote<G, X>(p.own_heat);
    out[4] = to_air;
  }

  void notes(const Prepared<double>&, const double*, Notes&) const {}

  std::vector<network::Conductance> conductances() const { return {{board->path() + " to air"}}; }
  std::vector<std::string> stores() const { return {board->path()}; }
};

class SurroundingsElement {
 public:
  const Sheet* surroundings = nullptr;
  const Sheet* conditions = nullptr;

  bool warming() const { return surroundings->choice("kind") == "warming"; }

  template <class T>
  struct Prepared {
    bool warming = false;
    T ambient{}, conductance{}, capacity{};
    network::Scales<1> scale;
  };

  template <class T>
  Prepared<T> prepare(const T* q) const {
    const Surroundings<T> s = take<Surroundings>(*surroundings, q);
    const Conditions<T> at = take<Conditions>(*conditions, q);
    return {s.kind == 1, at.ambient, s.conductance, s.capacity, {}};
  }

  template <class G, class X>
  void evaluate(const Prepared<G>& p, const X* in, Promote<G, X>* out) const {
    using T = Promote<G, X>;
    int next = 0;
    if (p.warming) {
      out[next++] = p.scale[0] * p.conductance * (p.ambient - in[0]);
      out[next++] = T(p.capacity);
    } else {
      out[next++] = T(p.ambient);
    }
    out[next] = T(in[0]);
  }

  void notes(const Prepared<double>& p, const double* in, Notes& notes) const {
    if (p.warming && in[0] - p.ambient > 1.0) {
      notes.add({Note::Kind::state, "surroundings_warm",
                 "the air around is warmed by the heat given off; the rise counts from the probe",
                 "surroundings"});
    }
  }

  std::vector<network::Conductance> conductances() const {
    if (!warming()) return {};
    return {{"surroundings to outside"}};
  }
  std::vector<std::string> stores() const {
    if (!warming()) return {};
    return {"surroundings"};
  }
};

}  // namespace libloop
