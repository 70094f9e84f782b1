// Pressure rise of a fan or a pump against flow, at any speed and in any direction.
//
// You need this header when you place a fan or a pump in a network.
//
// A machine is its free flow Q0 and shut-off pressure p0 at rated speed, and a
// dimensionless characteristic g(x): x = flow / free flow, g = pressure / shut-off
// pressure, both at the same speed, so that g(0) = 1 and g(1) = 0:
//   fan    g = 1 - a x - (1-a) x^4 - d exp(-((x-0.42)/0.09)^2), the last term being the
//          stall dip of axial fans (shape: judgement; its value at both ends taken off)
//   pump   g = 1 - b x - (1-b) x^2
//   table  a MonotoneCurve through (0, 1) ... (1, 0)
// At relative speed s (speed / rated speed) and y = Q/Q0 the affinity laws give
//   rise / p0 = s^e g(y/s), 0 <= y <= s,
// with e = 2, or 2.0 to 2.2 for small fans whose losses fall with Reynolds number.
// Beyond free flow the machine is a resistance, and in reverse flow it pushes back:
//   y > s:  g'(1) s^(e-1) (y-s) - c (y-s)^2
//   y < 0:  s^e + g'(0) s^(e-1) y + c y^2          when the curve falls from shut-off
//           s^e / (1 - g'(0) y/s) + c y^2          when it rises there (droop)
// The pieces meet in value and slope; a stopped machine is exactly the resistance
// -c y|y|. Strictly falling in y when c > 0 and: fan 0.5 <= a <= 1, 0 <= d <= 0.06 (any a
// in 0..1 with d <= 0.03); pump 0 <= b <= 2; table falling. At s = 0, y = 0 the slope itself
// is zero. Finite, with finite slopes, for every s >= 0.
//
// A curve may rise in part: a deep stall dip, a pump that droops towards shut-off (b < 0), a
// table as measured. It must fall where it ends. A drooping machine never drives backwards:
// pushed back, its shut-off pressure fades, and in the end the resistance grows. Where a
// curve rises, several operating points are possible: ask `rising`.
//
// Valid for geometrically similar operation (same machine, same fluid; pressure scales
// with density). Affinity laws: Bleier, Fan Handbook, 1998; Guelich, Centrifugal Pumps,
// 2008 (both from memory). Resistance beyond the curve: judgement.
#pragma once

#include "libloop/math/curve.hpp"
#include "libloop/math/dual.hpp"

namespace libloop::law {

enum class CurveKind { fan, pump, table };

template <class T>
struct Characteristic {
  CurveKind kind = CurveKind::fan;
  T shape = 0.7;                         // a or b: share of the fall that is linear
  T dip = 0.0;                           // d: depth of the stall dip, 0 to 0.06; fans only
  T resistance = 1.0;                    // c, in shut-off pressures at free flow
  T exponent = 2.0;                      // e: pressure ~ speed^e
  const MonotoneCurve* table = nullptr;  // kind table only; must outlive this
};

// g(x) for 0 <= x <= 1.
template <class G, class X>
Promote<G, X> characteristic(const Characteristic<G>& curve, X x);

// Pressure rise over the shut-off pressure at rated speed. relative_flow is Q/Q0, any
// sign; relative_speed >= 0.
template <class G, class X>
Promote<G, X> machine_rise(const Characteristic<G>& curve, X relative_flow, G relative_speed);

// Whether the curve of a turning machine rises with flow anywhere.
bool rising(const Characteristic<double>& curve);

// How flow, pressure and power of one point change between similar machines: by the
// ratios of speed N, diameter D and density, Q ~ N D^3, p ~ rho N^2 D^2,
// P ~ rho N^3 D^5.
template <class T>
struct Affinity {
  T flow;
  T pressure;
  T power;
};
template <class T>
Affinity<T> affinity(T speed_ratio, T diameter_ratio, T density_ratio);

// Speed of the blade tips, m/s: diameter in m, speed in revolutions per second.
template <class T>
T tip_speed(T diameter, T speed);

}  // namespace libloop::law
