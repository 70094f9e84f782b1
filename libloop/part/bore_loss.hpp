// Fittings on a bore: a loss stated at Re 1500, at any other flow.
//
// Fittings follow Hooper's two-K form of a 90 degree elbow (K1 = 800, K_infinity = 0.40),
// scaled to what is stated.
#pragma once

#include "libloop/law/friction.hpp"
#include "libloop/math/dual.hpp"
#include "libloop/network/circuit.hpp"

namespace libloop {

template <class T>
struct BoreLoss {
  T bore{}, area{}, k1{}, infinity{};
};

template <class T>
BoreLoss<T> bore_loss(const T& bore, const T& stated) {
  constexpr double elbow_k1 = 800.0, elbow_infinity = 0.40, stated_at = 1500.0;
  constexpr double quarter_pi = 0.7853981633974483;
  const T scale = stated / law::two_k<T>(T(stated_at), T(elbow_k1), T(elbow_infinity), T(bore));
  return {bore, quarter_pi * bore * bore, elbow_k1 * scale, elbow_infinity * scale};
}

// Pressure drop, Pa. K Re instead of K: finite at rest.
template <class G, class X>
Promote<G, X> bore_drop(const BoreLoss<G>& loss, const X& flow, const Promote<G, X>& density,
                        const Promote<G, X>& viscosity) {
  using T = Promote<G, X>;
  const T reynolds = network::carrying_flow(flow) * loss.bore / (loss.area * viscosity);
  const T velocity = flow / (density * loss.area);
  const T k_re = law::two_k_re(reynolds, loss.k1, loss.infinity, loss.bore);
  return 0.5 * k_re * viscosity * velocity / loss.bore;
}

}  // namespace libloop
