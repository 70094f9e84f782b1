// Cross flow of air and coolant through one cell of a core, written by streams.
//
// You need this header when you couple an air stream and a coolant stream, or any
// stream and a wall.
//
// One row of flat tubes, air unmixed between them: with UA the conductance from coolant
// to air (all layers), C_a and C_c the capacity flows (W/K, >= 0), T the mean coolant
// temperature of the cell and T_a the entering air,
//   K = C_a (1 - exp(-UA/C_a))         row_conductance
//   heat to the air    q = K (T - T_a)
//   coolant outlet     T_a + (T - T_a) n/(e^n - 1),  n = K/C_c    mean_to_outlet
//   coolant inlet      T_a + (T - T_a) n/(1 - e^-n)               mean_to_inlet
// This is exact in the steady state for any number of cells along the tube and any
// ratio of capacities: nothing switches on the smaller one. For a tube or a plate put
// its own conductance in place of K. All forms are finite with finite slopes at zero
// flow. Source: Kays & London, Compact Heat Exchangers, 1984 (case C_max mixed, C_min
// unmixed, and its mirror; from memory), rearranged.
//
// Two rows behind each other in the air: see `two_rows`.
#pragma once

#include "libloop/math/dual.hpp"

namespace libloop::law {

// K = C_a (1 - exp(-UA/C_a)), W/K; tends to 0 with C_a and to UA for large C_a.
template <class T>
T row_conductance(T air_capacity, T ua);

// n/(e^n - 1) and n/(1 - e^-n), any n.
template <class T>
T mean_to_outlet(T n);
template <class T>
T mean_to_inlet(T n);

// K/C_c, finite at zero flow (1e30 times K).
template <class T>
T transfer_units(T conductance, T capacity);

// The same cell for a stream of which the share b passes beside the surface and meets
// only the bypass conductance G_b (as if the whole stream met it):
//   K_eff = -C ln((1-b) exp(-K/((1-b) C)) + b exp(-G_b/C))
// is the conductance that makes the cell law with the full capacity C give the true heat
// (1-b) C (1 - exp(-K/((1-b) C))) + b C (1 - exp(-G_b/C)) per kelvin at the inlet, the
// parts mixing only at the outlet. 0.001 <= b <= 0.7; tends to G_b at zero flow (when
// K/(1-b) > G_b). Derived here from the two-stream balance.
template <class T>
T bypassed_conductance(T conductance, T capacity, T bypass_share, T bypass_conductance);

// One coolant stream in one cell. All temperatures are excesses over the air entering
// the front row.
template <class T>
struct CoolantRow {
  T conductance{};    // K = row_conductance(C_a, UA) of this row, W/K
  T capacity{};       // C_c, W/K, >= 0
  int direction = 1;  // +1 or -1 along the tube
  T mean{};           // mean coolant excess in this cell, K
};

template <class T>
struct RowAnswer {
  T outlet{};  // coolant excess where this stream leaves the cell, K
  T heat{};    // given to the air, W
};

template <class T>
struct TwoRows {
  RowAnswer<T> front;
  RowAnswer<T> back;
  T air_outlet{};  // mean air excess behind both, K
};

// Two rows behind each other; the air passes `front` first and is not mixed along the
// tube in between. With e = K/C_a of the front row the back row meets air e theta_1(x),
//   d theta_2/dx = -+ n_2 (theta_2 - e theta_1(x)),
// whose solution gives, by the two means,
//   q_1 = K_1 theta_1,  q_2 = K_2 (theta_2 - e theta_1),
//   outlet_2 = (theta_2 - e inlet_1 (1 - e^-n_1)/n_1) n_2/(e^n_2 - 1) + e inlet_1 D,
//   D = n_2 (e^-n_1 - e^-n_2)/((n_2 - n_1)(1 - e^-n_2))       same direction,
//   D = n_2 (1 - e^-(n_1+n_2))/((n_1 + n_2)(1 - e^-n_2))      opposite directions.
// Exact in the steady state for any number of cells. `front_inlet` is the excess with
// which the front stream enters this cell. In the steady state that is
// mean_to_inlet(n_1) theta_1; without the argument this value is taken, which is exact
// there but has no meaning when the flow stops while the means stay up: use the argument
// in a warm-up. The air's share in outlet_2 follows from inlet_1 alone, so that coolant
// that exchanges nothing leaves with its own mean whatever enters the front row. More than
// two rows: not supported.
template <class T>
TwoRows<T> two_rows(T air_capacity, const CoolantRow<T>& front, const CoolantRow<T>& back);
template <class T>
TwoRows<T> two_rows(T air_capacity, const CoolantRow<T>& front, const CoolantRow<T>& back,
                    T front_inlet);

}  // namespace libloop::law
