// Heat spreading from small sources through a plate of two layers into a film.
//
// You need this header between dies and cold plate: heat enters on rectangles, spreads
// sideways in a spreader and a base with a thermal interface between them, and leaves
// through a film (coolant side) of one coefficient h. The sides are adiabatic.
//
//   S_ij = (1/A) sum' e_m e_n c_im c_jm d_in d_jn Z(zeta_mn)          K/W
//   lambda_m = m pi/L_x, delta_n = n pi/L_y, zeta^2 = lambda^2 + delta^2, e_0 = 1, else 2
//   c_jm = cos(lambda_m x_j) sinc(lambda_m length_j/2), d_jn likewise along y; the centre
//   of a receiver leaves its own sinc away
// The sum leaves out m = n = 0: that is heat conduction straight down, the caller's. Z is
// the impedance of a mode, by recursion from the film upward:
//   film Z = 1/h; layer Z <- (Z + tanh(zeta t)/(k zeta))/(1 + Z k zeta tanh(zeta t));
//   interface Z <- Z + R
// Source: Yovanovich, Muzychka & Culham, J. Thermophys. Heat Transfer 13:495, 1999 (from
// memory), for several sources and an interface.
//
// The slow part of the sum, as if the plate went on for ever, is taken from the heat
// kernel instead: erf(zeta s0)/(k1 zeta) = 2/(k1 sqrt(pi)) int_0^s0 exp(-zeta^2 s^2) ds,
// whose sum over all modes is a product of two one-dimensional kernels. What remains
// falls off like exp(-2 zeta t1): some tens of modes give about six digits.
//
// Valid for constant conductivities, both layers and the film of one size (unlike sizes:
// the caller takes one between), sources inside the plate, film >= 0, thickness of the
// top layer at least a hundredth of the longer side (a thinner one is answered, less
// sharply near the edges of a source). One layer: bottom thickness and
// interface resistance 0. Overlapping sources are allowed.
//
// Build once, evaluate at many films: only Z depends on the film.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "libloop/math/dual.hpp"

namespace libloop::law {

template <class T>
struct PlateLayer {
  T thickness{};     // m
  T conductivity{};  // W/(m K)
};

template <class T>
struct CompoundPlate {
  T side_x{}, side_y{};      // m
  PlateLayer<T> top;         // the heated side
  T interface_resistance{};  // m2 K/W
  PlateLayer<T> bottom;      // the film side
};

// Place of a source: its centre, from the centre of the plate.
template <class T>
struct HeatedRectangle {
  T x{}, y{};
  T length{}, width{};  // along x, along y
};

template <class G>
class Spreading {
 public:
  Spreading(const CompoundPlate<G>& plate, std::span<const HeatedRectangle<G>> sources);

  std::size_t size() const { return sources_; }

  // Writes two matrices of size() x size() in rows: receiver by row, heated source by
  // column, K/W. `mean` is the mean over the receiver's rectangle, `centre` the value in
  // the middle of it. `film` in W/(m2 K).
  template <class X>
  void evaluate(X film, Promote<G, X>* mean, Promote<G, X>* centre) const;

 private:
  void add_slow_part(const CompoundPlate<G>& plate, std::span<const HeatedRectangle<G>> sources,
                     const G& reach);
  void add_modes(const CompoundPlate<G>& plate, std::span<const HeatedRectangle<G>> sources,
                 const G& depth, const G& reach);

  std::size_t sources_ = 0;
  std::vector<G> constant_;  // the mean matrix, then the centre matrix
  std::vector<G> bend_;      // per mode that feels the film
  std::vector<G> weight_;    // per entry of both matrices, per such mode
};

}  // namespace libloop::law
