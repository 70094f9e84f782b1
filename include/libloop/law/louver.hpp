// Heat transfer and friction of air between flat tubes: louvered and plain fins.
//
// You need this header when you build the air side of a core. Build a LouveredFin or a
// PlainFin once from its geometry, then ask it at any Reynolds number:
//   Re = rho V l / mu, V the velocity in the smallest free area, l = fin.length()
//   h  = heat_product(Re) mu cp Pr^(-2/3) / l                      (j Re = heat_product)
//   dp = 2 friction_product(Re) mu V / l * depth / hydraulic_diameter   (f Re, Fanning)
// Both products are finite at zero flow; h and dp/V never fall with flow. Entrance and
// exit losses come on top (contraction_loss, expansion_loss).
//
// Published forms, as printed:
//   chang_wang_j    Chang & Wang, Int. J. Heat Mass Transfer 40:533, 1997; l = louver
//                   pitch, 100 < Re < 3000, 89 % of the data within 15 %
//   chang_f_2000    Chang, Hsu, Lin & Wang, Int. J. Heat Mass Transfer 43:2237, 2000;
//                   two branches that do not meet at Re 150; 83 % within 15 %
//   chang_f_2006    the same with the amendment of Chang et al., Int. J. Heat Mass
//                   Transfer 49:4250, 2006, between Re 130 and 230
// None of these can stand in a network: friction jumps, pressure drop falls with flow
// near Re 220, and below Re 100 neither was measured. What a LouveredFin does instead:
//   heat      chang_wang_j at any Re, but never below the plain duct of the same
//             passage; where they come within 10 % a parabola in ln h joins them (it
//             adds at most 2.5 %). Louvers that lie far apart at low flow do nothing.
//   friction  Re >= 230 the upper branch, 100 to 130 the lower one (not below the plain
//             duct, joined likewise), in between a smooth bridge in ln Re whose steepest
//             slope is limited so that d ln dp / d ln V >= 0.2; from 100 down to 10 a
//             cubic that meets the plain duct, which rules below 10.
// Expect +-15 % in h and +-25 % in f within the measured range, +-30 % below Re 100.
//
// Plain duct: rectangular passage, developing flow. f Re from the polynomial of Shah &
// London 1978 for developed flow joined to the entrance limit as Muzychka & Yovanovich
// (J. Fluids Eng. 131:111105, 2009) do, +-10 %; Nusselt number at wall temperature
// constant, form of Muzychka & Yovanovich (J. Heat Transfer 126:54, 2004) with the
// developed limit of Shah & London, +-8 %; both from memory. Air: Pr = 0.71 throughout.
#pragma once

#include "libloop/math/dual.hpp"

namespace libloop::law {

// Lengths in m. A plain fin does not read the louver fields.
template <class T>
struct LouverGeometry {
  T fin_pitch{};
  T fin_height{};  // between the tubes
  T fin_thickness{};
  T louver_pitch{};
  T louver_length{};
  T louver_angle{};  // rad
  T depth{};
  T tube_thickness{};  // seen by the air

  T tube_pitch() const { return fin_height + tube_thickness; }
  // Width and height of the passage between two fins.
  T passage_width() const { return fin_pitch - fin_thickness; }
  T passage_height() const { return fin_height - fin_thickness; }
  // Smallest free area over face area.
  T free_share() const { return passage_height() * passage_width() / (tube_pitch() * fin_pitch); }
  // Air-side surface (fins and tubes) in a volume of core, 1/m.
  T area_per_volume() const {
    return 2.0 * (passage_width() + passage_height()) / (fin_pitch * tube_pitch());
  }
  T hydraulic_diameter() const { return 4.0 * free_share() / area_per_volume(); }
};

template <class T>
T chang_wang_j(const LouverGeometry<T>& core, T reynolds);
template <class T>
T chang_f_2000(const LouverGeometry<T>& core, T reynolds);
template <class T>
T chang_f_2006(const LouverGeometry<T>& core, T reynolds);

// The passage between two fins as a plain rectangular duct; Re on any length.
template <class G>
class PassageDuct {
 public:
  PassageDuct() = default;
  PassageDuct(const LouverGeometry<G>& core, const G& reynolds_length);

  template <class X>
  Promote<G, X> heat_product(const X& reynolds) const;
  template <class X>
  Promote<G, X> friction_product(const X& reynolds) const;

 private:
  // f Re = sqrt(developed + entrance Re)
  G friction_developed_{}, friction_entrance_{};
  // j Re = (layer Re^(m/2) + (entrance Re^(5/3) + developed)^(m/5))^(1/m)
  G heat_developed_{}, heat_entrance_{}, heat_layer_{};
};

template <class G>
class PlainFin {
 public:
  explicit PlainFin(const LouverGeometry<G>& core);

  G length() const { return length_; }  // hydraulic diameter
  template <class X>
  Promote<G, X> heat_product(X reynolds) const;
  template <class X>
  Promote<G, X> friction_product(X reynolds) const;
  template <class X>
  Promote<G, X> j(X reynolds) const;  // Re > 0; huge but finite at 0
  template <class X>
  Promote<G, X> f(X reynolds) const;

 private:
  G length_{};
  PassageDuct<G> duct_;
};

template <class G>
class LouveredFin {
 public:
  explicit LouveredFin(const LouverGeometry<G>& core);

  G length() const { return length_; }  // louver pitch
  template <class X>
  Promote<G, X> heat_product(X reynolds) const;
  template <class X>
  Promote<G, X> friction_product(X reynolds) const;
  template <class X>
  Promote<G, X> j(X reynolds) const;  // Re > 0; huge but finite at 0
  template <class X>
  Promote<G, X> f(X reynolds) const;

 private:
  // ln(f Re) = level + power q - log_power ln(q + shift), q = ln Re
  struct Branch {
    G level{}, power{};
    double log_power = 0.0, shift = 0.0;
    template <class X>
    Promote<G, X> at(const X& q) const;
    G slope(double q) const;
  };
  // Value and slope of ln(f Re) in ln Re where two pieces meet.
  struct Joint {
    double q = 0.0;
    G value{}, slope{};
  };

  template <class X>
  Promote<G, X> heat(const X& reynolds) const;
  template <class X>
  Promote<G, X> friction(const X& reynolds) const;
  template <class X>
  Promote<G, X> lower(const X& reynolds, const X& q) const;
  template <class X>
  Promote<G, X> to_duct(const X& q) const;
  template <class X>
  Promote<G, X> bridge(const X& q) const;

  Joint lower_joint(double reynolds) const;
  Joint duct_joint(double reynolds) const;
  void prepare_bridge();
  void prepare_heat();

  G length_{};
  PassageDuct<G> duct_;
  G heat_level_{};              // ln(j Re) - 0.51 ln Re of Chang & Wang
  double louvered_from_ = 0.0;  // Re above which the plain duct no longer matters
  Branch low_, high_;
  bool duct_bounds_low_ = false;
  Joint at_duct_, at_100_, at_130_, at_230_;
  G bridge_slope_{};
};

template <class G>
LouveredFin<G> make_louvered_fin(const LouverGeometry<G>& core) {
  return LouveredFin<G>(core);
}
template <class G>
PlainFin<G> make_plain_fin(const LouverGeometry<G>& core) {
  return PlainFin<G>(core);
}

// Entrance and exit losses of a core in velocity heads of its smallest free area
// (without the change of dynamic pressure, 1 - sigma^2 at each face):
//   K_c = (1 - 2 C_c + C_c^2 (2 K_d - 1))/C_c^2, C_c = 4.374e-4 exp(6.737 sqrt(sigma)) + 0.621
//   K_e = 1 - 2 K_d sigma + sigma^2
// sigma = free area / face area, 0 < sigma < 1; K_d momentum factor of the velocity
// profile: 1 for louvered fins, 1.2 for laminar plain passages. Kays & London 1984
// (from memory; C_c known through a transcription); +-0.05 against their charts.
template <class T>
T contraction_loss(T free_share, double momentum_factor = 1.0);
template <class T>
T expansion_loss(T free_share, double momentum_factor = 1.0);

}  // namespace libloop::law
