#include "libloop/law/louver.hpp"

#include <algorithm>
#include <cmath>

#include "libloop/law/lift.hpp"

namespace libloop::law {
namespace {

using std::exp;
using std::log;
using std::pow;
using std::sqrt;

constexpr double degrees = 180.0 / 3.141592653589793;
constexpr double prandtl = 0.71;

// Ends of the pieces of the friction law, in Re on louver pitch.
constexpr double duct_end = 10.0;
constexpr double low_start = 100.0;
constexpr double low_end = 130.0;
constexpr double high_start = 230.0;
const double q_high_start = std::log(high_start);

constexpr double steepest = -0.8;   // of ln(f Re): d ln dp / d ln V >= 0.2
constexpr double ramp = 0.2;        // share of the bridge in which its slope turns, each end
constexpr double join_width = 0.1;  // of the smooth maximum, in logarithm

// The larger of two logarithms, exactly so where they differ by more than the width; in
// between a parabola that meets both in value and slope.
template <class T>
T smooth_maximum(const T& a, const T& b) {
  const T ahead = a - b;
  if (ahead >= join_width) return a;
  if (ahead <= -join_width) return b;
  const T rise = ahead + join_width;
  return b + rise * rise / (4.0 * join_width);
}

// Constants of Chang et al. 2000: ln(f Re) = level + power ln Re - log_power ln(ln(c Re)).
template <class T>
struct LogBranch {
  T level, power;
};

template <class T>
LogBranch<T> chang_low(const LouverGeometry<T>& g) {
  const T angle = g.louver_angle * degrees;
  const T thickness_ratio = pow(g.fin_thickness / g.fin_pitch, 0.48);
  const T level = std::log(14.39) + 3.04 * log(log(1.0 + g.fin_pitch / g.louver_pitch)) -
                  1.435 * log(log(thickness_ratio + 0.9)) -
                  3.01 * log(g.hydraulic_diameter() / g.louver_pitch) -
                  0.308 * log(g.fin_pitch / g.louver_length) -
                  0.308 * log(g.depth / g.louver_length) -
                  0.1167 * g.tube_pitch() / g.tube_thickness + 0.35 * log(angle);
  return {level, 1.0 - 0.805 * g.fin_pitch / g.fin_height};
}

template <class T>
LogBranch<T> chang_high(const LouverGeometry<T>& g) {
  const T log_angle = log(g.louver_angle * degrees);
  const T thickness_ratio = sqrt(g.fin_thickness / g.fin_pitch);
  const T gap_ratio = pow(g.louver_pitch / g.fin_pitch, 1.4);
  const T level = std::log(4.97) - 0.527 * log(log(thickness_ratio + 0.9)) -
                  2.966 * log(g.hydraulic_diameter() / g.louver_pitch) -
                  0.7931 * g.tube_pitch() / g.fin_height * log(g.fin_pitch / g.louver_length) -
                  0.0446 * log(g.tube_pitch() / g.tube_thickness) -
                  3.553 * log(log(1.2 + gap_ratio)) - 0.477 * log_angle;
  return {level, 1.6049 - 1.064 * exp(-0.2 * log_angle)};
}

template <class T>
T low_f(const LouverGeometry<T>& core, const T& reynolds) {
  const LogBranch<T> low = chang_low(core);
  return exp(low.level + (low.power - 1.0) * log(reynolds) - 3.01 * log(log(0.5 * reynolds)));
}

template <class T>
T high_f(const LouverGeometry<T>& core, const T& reynolds) {
  const LogBranch<T> high = chang_high(core);
  return exp(high.level + (high.power - 1.0) * log(reynolds) - 2.966 * log(log(0.3 * reynolds)));
}

// ln(j Re^0.49) of Chang & Wang.
template <class T>
T chang_wang_level(const LouverGeometry<T>& g) {
  const T log_pitch = log(g.louver_pitch);
  return 0.27 * log(g.louver_angle * (degrees / 90.0)) - 0.14 * log(g.fin_pitch) -
         0.29 * log(g.fin_height) - 0.23 * log(g.depth) + 0.68 * log(g.louver_length) -
         0.28 * log(g.tube_pitch()) - 0.05 * log(g.fin_thickness) + 0.31 * log_pitch;
}

// Developed laminar flow in a rectangle of aspect ratio a, Shah & London 1978.
template <class T>
T developed_friction(const T& a) {
  return 24.0 * (1.0 - a * (1.3553 - a * (1.9467 - a * (1.7012 - a * (0.9564 - a * 0.2537)))));
}
template <class T>
T developed_nusselt(const T& a) {
  return 7.541 * (1.0 - a * (2.610 - a * (4.970 - a * (5.119 - a * (2.702 - a * 0.548)))));
}

// Muzychka & Yovanovich 2004, wall temperature constant, mean value.
const double blend = 2.27 + 1.65 * std::cbrt(prandtl);
const double layer_factor =
    2.0 * 0.564 / std::pow(1.0 + std::pow(1.664 * std::pow(prandtl, 1.0 / 6), 4.5), 2.0 / 9);
constexpr double entrance_factor = 1.5 * 0.409;

}  // namespace

template <class T>
T chang_wang_j(const LouverGeometry<T>& core, T reynolds) {
  return exp(chang_wang_level(core) - 0.49 * log(reynolds));
}

template <class T>
T chang_f_2000(const LouverGeometry<T>& core, T reynolds) {
  return reynolds < 150.0 ? low_f(core, reynolds) : high_f(core, reynolds);
}

template <class T>
T chang_f_2006(const LouverGeometry<T>& core, T reynolds) {
  if (reynolds <= low_end) return low_f(core, reynolds);
  if (reynolds >= high_start) return high_f(core, reynolds);
  const T weight = 3.6 - 0.02 * reynolds;
  const T low = low_f(core, T(low_end));
  const T high = high_f(core, T(high_start));
  return sqrt(0.5 * ((1.0 + weight) * low * low + (1.0 - weight) * high * high));
}

template <class G>
PassageDuct<G>::PassageDuct(const LouverGeometry<G>& core, const G& reynolds_length) {
  const G a = core.passage_width();
  const G b = core.passage_height();
  const G aspect = a < b ? a / b : b / a;
  const G diameter = core.hydraulic_diameter();
  const G scale = reynolds_length / diameter;
  const G friction = developed_friction(aspect);
  const G developed = friction * scale;
  friction_developed_ = developed * developed;
  friction_entrance_ = 3.44 * 3.44 * reynolds_length / core.depth;

  // 1/x* = Re / reach
  const G reach = core.depth * reynolds_length / (diameter * diameter * prandtl);
  const G to_product = scale / std::cbrt(prandtl);
  const G layer = layer_factor * to_product / sqrt(reach);
  heat_layer_ = pow(layer, blend);
  heat_entrance_ = pow(entrance_factor * to_product, 5.0) * pow(friction / reach, 5.0 / 3);
  heat_developed_ = pow(developed_nusselt(aspect) * to_product, 5.0);
}

template <class G>
template <class X>
Promote<G, X> PassageDuct<G>::heat_product(const X& reynolds) const {
  const X q = log(reynolds + tiny);
  const X layer = exp(0.5 * blend * q);
  const X entrance = exp(5.0 / 3 * q);
  const Promote<G, X> thin = heat_layer_ * layer;
  const Promote<G, X> thick = pow(heat_entrance_ * entrance + heat_developed_, 0.2 * blend);
  return pow(thin + thick, 1.0 / blend);
}

template <class G>
template <class X>
Promote<G, X> PassageDuct<G>::friction_product(const X& reynolds) const {
  return sqrt(friction_developed_ + friction_entrance_ * reynolds);
}

template <class G>
PlainFin<G>::PlainFin(const LouverGeometry<G>& core)
    : length_(core.hydraulic_diameter()), duct_(core, length_) {}

template <class G>
template <class X>
Promote<G, X> PlainFin<G>::heat_product(X reynolds) const {
  return along<G>(reynolds, [&](const auto& re) { return duct_.heat_product(re); });
}

template <class G>
template <class X>
Promote<G, X> PlainFin<G>::friction_product(X reynolds) const {
  return along<G>(reynolds, [&](const auto& re) { return duct_.friction_product(re); });
}

template <class G>
template <class X>
Promote<G, X> PlainFin<G>::j(X reynolds) const {
  return heat_product(reynolds) / (reynolds + tiny);
}

template <class G>
template <class X>
Promote<G, X> PlainFin<G>::f(X reynolds) const {
  return friction_product(reynolds) / (reynolds + tiny);
}

template <class G>
LouveredFin<G>::LouveredFin(const LouverGeometry<G>& core)
    : length_(core.louver_pitch), duct_(core, length_), heat_level_(chang_wang_level(core)) {
  const LogBranch<G> low = chang_low(core);
  const LogBranch<G> high = chang_high(core);
  low_ = {low.level, low.power, 3.01, std::log(0.5)};
  high_ = {high.level, high.power, 2.966, std::log(0.3)};
  for (const double re : {low_start, low_end}) {
    const double q = std::log(re);
    const double ahead = value_of(low_.at(q)) - std::log(value_of(duct_.friction_product(re)));
    duct_bounds_low_ = duct_bounds_low_ || ahead < join_width;
  }
  at_duct_ = duct_joint(duct_end);
  at_100_ = lower_joint(low_start);
  at_130_ = lower_joint(low_end);
  at_230_ = {q_high_start, high_.at(q_high_start), high_.slope(q_high_start)};
  prepare_bridge();
  prepare_heat();
}

template <class G>
template <class X>
Promote<G, X> LouveredFin<G>::Branch::at(const X& q) const {
  const X bend = log_power * log(q + shift);
  return level + power * q - bend;
}

template <class G>
G LouveredFin<G>::Branch::slope(double q) const {
  return power - log_power / (q + shift);
}

template <class G>
typename LouveredFin<G>::Joint LouveredFin<G>::duct_joint(double reynolds) const {
  // d/dq of ln(f Re) = E Re / (2 (D + E Re)), read off two values of (f Re)^2.
  const G product = duct_.friction_product(reynolds);
  const G start = duct_.friction_product(0.0);
  const G ratio = start / product;
  return {std::log(reynolds), log(product), 0.5 * (1.0 - ratio * ratio)};
}

template <class G>
typename LouveredFin<G>::Joint LouveredFin<G>::lower_joint(double reynolds) const {
  const double q = std::log(reynolds);
  const G value = low_.at(q);
  const G slope = low_.slope(q);
  const Joint duct = duct_joint(reynolds);
  const G ahead = value - duct.value;
  if (ahead >= join_width) return {q, value, slope};
  if (ahead <= -join_width) return duct;
  const G share = (ahead + join_width) / (2.0 * join_width);
  return {q, smooth_maximum(value, duct.value), duct.slope + share * (slope - duct.slope)};
}

// The bridge's slope turns linearly from the lower branch's to `bridge_slope_`, stays,
// and turns to the upper branch's.
template <class G>
void LouveredFin<G>::prepare_bridge() {
  const double width = at_230_.q - at_130_.q;
  const G ends = 0.5 * ramp * (at_130_.slope + at_230_.slope);
  bridge_slope_ = ((at_230_.value - at_130_.value) / width - ends) / (1.0 - ramp);
  if (bridge_slope_ >= steepest) return;
  // The upper branch starts too far below the lower one for a pressure drop that rises
  // with flow: lift it. One core in ten thousand comes here.
  bridge_slope_ = steepest;
  const G reached = at_130_.value + width * (bridge_slope_ * (1.0 - ramp) + ends);
  high_.level += reached - at_230_.value;
  at_230_.value = reached;
}

// ln h of the louvers gains on the plain duct at every Re (0.51 against at most 0.5), so
// there is one Re above which the duct does not matter. Found only to save its evaluation
// there: anywhere above serves.
template <class G>
void LouveredFin<G>::prepare_heat() {
  const auto ahead = [&](double re) {
    const double louver = value_of(heat_level_) + 0.51 * std::log(re);
    return louver - std::log(value_of(duct_.heat_product(re))) - join_width;
  };
  double below = 1.0;
  double above = 1e5;
  if (ahead(below) >= 0.0) above = below;
  while (above > 1.5 * below) {
    const double middle = std::sqrt(below * above);
    (ahead(middle) < 0.0 ? below : above) = middle;
  }
  louvered_from_ = above;
}

template <class G>
template <class X>
Promote<G, X> LouveredFin<G>::heat(const X& reynolds) const {
  using R = Promote<G, X>;
  const X q = 0.51 * log(reynolds + tiny);
  const R louver = heat_level_ + q;
  if (reynolds >= louvered_from_) return exp(louver);
  const R duct = duct_.heat_product(reynolds);
  const R level = log(duct);
  if (louver <= level - join_width) return duct;
  return exp(smooth_maximum(louver, level));
}

template <class G>
template <class X>
Promote<G, X> LouveredFin<G>::lower(const X& reynolds, const X& q) const {
  using R = Promote<G, X>;
  const R louver = low_.at(q);
  if (!duct_bounds_low_) return louver;
  const R duct = log(duct_.friction_product(reynolds));
  return smooth_maximum(louver, duct);
}

// Cubic in ln Re from the plain duct to the lower branch.
template <class G>
template <class X>
Promote<G, X> LouveredFin<G>::to_duct(const X& q) const {
  const double width = at_100_.q - at_duct_.q;
  const double t = (value_of(q) - at_duct_.q) / width;
  const double s = 1.0 - t;
  const auto weight = [&](double value, double slope) { return lift(q, value, slope / width); };
  const X to_end = weight(t * t * (3.0 - 2.0 * t), 6.0 * t * s);
  const X start_slope = weight(t * s * s, s * (1.0 - 3.0 * t));
  const X end_slope = weight(-t * t * s, t * (3.0 * t - 2.0));
  const G rise = at_100_.value - at_duct_.value;
  const G first = width * at_duct_.slope;
  const G last = width * at_100_.slope;
  return at_duct_.value + rise * to_end + first * start_slope + last * end_slope;
}

template <class G>
template <class X>
Promote<G, X> LouveredFin<G>::bridge(const X& q) const {
  const double turn = ramp * (at_230_.q - at_130_.q);
  const X along = q - at_130_.q;
  const X left = at_230_.q - q;
  if (along < turn) {
    const G bend = 0.5 / turn * (bridge_slope_ - at_130_.slope);
    return at_130_.value + (at_130_.slope + bend * along) * along;
  }
  if (left < turn) {
    const G bend = 0.5 / turn * (bridge_slope_ - at_230_.slope);
    return at_230_.value - (at_230_.slope + bend * left) * left;
  }
  const G after_turn = at_130_.value + 0.5 * turn * (at_130_.slope - bridge_slope_);
  return after_turn + bridge_slope_ * along;
}

template <class G>
template <class X>
Promote<G, X> LouveredFin<G>::friction(const X& reynolds) const {
  if (reynolds <= duct_end) return duct_.friction_product(reynolds);
  const X q = log(reynolds);
  if (reynolds < low_start) return exp(to_duct(q));
  if (reynolds <= low_end) return exp(lower(reynolds, q));
  if (reynolds < high_start) return exp(bridge(q));
  return exp(high_.at(q));
}

template <class G>
template <class X>
Promote<G, X> LouveredFin<G>::heat_product(X reynolds) const {
  return along<G>(reynolds, [&](const auto& re) { return heat(re); });
}

template <class G>
template <class X>
Promote<G, X> LouveredFin<G>::friction_product(X reynolds) const {
  return along<G>(reynolds, [&](const auto& re) { return friction(re); });
}

template <class G>
template <class X>
Promote<G, X> LouveredFin<G>::j(X reynolds) const {
  return heat_product(reynolds) / (reynolds + tiny);
}

template <class G>
template <class X>
Promote<G, X> LouveredFin<G>::f(X reynolds) const {
  return friction_product(reynolds) / (reynolds + tiny);
}

template <class T>
T contraction_loss(T free_share, double momentum_factor) {
  const T contraction = 4.374e-4 * exp(6.737 * sqrt(free_share)) + 0.621;
  const T inverse = 1.0 / contraction;
  return (inverse - 2.0) * inverse + (2.0 * momentum_factor - 1.0);
}

template <class T>
T expansion_loss(T free_share, double momentum_factor) {
  return 1.0 + free_share * (free_share - 2.0 * momentum_factor);
}

template double chang_wang_j(const LouverGeometry<double>&, double);
template double chang_f_2000(const LouverGeometry<double>&, double);
template double chang_f_2006(const LouverGeometry<double>&, double);
template double contraction_loss(double, double);
template double expansion_loss(double, double);

template Dual<1> chang_wang_j(const LouverGeometry<Dual<1>>&, Dual<1>);
template Dual<1> chang_f_2000(const LouverGeometry<Dual<1>>&, Dual<1>);
template Dual<1> chang_f_2006(const LouverGeometry<Dual<1>>&, Dual<1>);
template Dual<1> contraction_loss(Dual<1>, double);
template Dual<1> expansion_loss(Dual<1>, double);

template Gradient chang_wang_j(const LouverGeometry<Gradient>&, Gradient);
template Gradient chang_f_2000(const LouverGeometry<Gradient>&, Gradient);
template Gradient chang_f_2006(const LouverGeometry<Gradient>&, Gradient);
template Gradient contraction_loss(Gradient, double);
template Gradient expansion_loss(Gradient, double);

template class PassageDuct<double>;
template class PlainFin<double>;
template class LouveredFin<double>;
template double PlainFin<double>::heat_product(double) const;
template double PlainFin<double>::friction_product(double) const;
template double PlainFin<double>::j(double) const;
template double PlainFin<double>::f(double) const;
template double LouveredFin<double>::heat_product(double) const;
template double LouveredFin<double>::friction_product(double) const;
template double LouveredFin<double>::j(double) const;
template double LouveredFin<double>::f(double) const;
template Dual<1> PlainFin<double>::heat_product(Dual<1>) const;
template Dual<1> PlainFin<double>::friction_product(Dual<1>) const;
template Dual<1> PlainFin<double>::j(Dual<1>) const;
template Dual<1> PlainFin<double>::f(Dual<1>) const;
template Dual<1> LouveredFin<double>::heat_product(Dual<1>) const;
template Dual<1> LouveredFin<double>::friction_product(Dual<1>) const;
template Dual<1> LouveredFin<double>::j(Dual<1>) const;
template Dual<1> LouveredFin<double>::f(Dual<1>) const;
template Gradient PlainFin<double>::heat_product(Gradient) const;
template Gradient PlainFin<double>::friction_product(Gradient) const;
template Gradient PlainFin<double>::j(Gradient) const;
template Gradient PlainFin<double>::f(Gradient) const;
template Gradient LouveredFin<double>::heat_product(Gradient) const;
template Gradient LouveredFin<double>::friction_product(Gradient) const;
template Gradient LouveredFin<double>::j(Gradient) const;
template Gradient LouveredFin<double>::f(Gradient) const;

template class PassageDuct<Gradient>;
template class PlainFin<Gradient>;
template class LouveredFin<Gradient>;
template Gradient PlainFin<Gradient>::heat_product(double) const;
template Gradient PlainFin<Gradient>::friction_product(double) const;
template Gradient PlainFin<Gradient>::j(double) const;
template Gradient PlainFin<Gradient>::f(double) const;
template Gradient LouveredFin<Gradient>::heat_product(double) const;
template Gradient LouveredFin<Gradient>::friction_product(double) const;
template Gradient LouveredFin<Gradient>::j(double) const;
template Gradient LouveredFin<Gradient>::f(double) const;
template Gradient PlainFin<Gradient>::heat_product(Gradient) const;
template Gradient PlainFin<Gradient>::friction_product(Gradient) const;
template Gradient PlainFin<Gradient>::j(Gradient) const;
template Gradient PlainFin<Gradient>::f(Gradient) const;
template Gradient LouveredFin<Gradient>::heat_product(Gradient) const;
template Gradient LouveredFin<Gradient>::friction_product(Gradient) const;
template Gradient LouveredFin<Gradient>::j(Gradient) const;
template Gradient LouveredFin<Gradient>::f(Gradient) const;

}  // namespace libloop::law
