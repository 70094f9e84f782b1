// The liquid that a coolant's choice and fraction name.
#pragma once

#include <array>

#include "libloop/fluid/liquid.hpp"
#include "libloop/part/coolant.hpp"

namespace libloop {

inline fluid::LiquidKind liquid_kind(Choice kind) {
  // In the order of Coolant's words.
  constexpr std::array<fluid::LiquidKind, 3> kinds = {fluid::LiquidKind::propylene_glycol,
                                                      fluid::LiquidKind::ethylene_glycol,
                                                      fluid::LiquidKind::water};
  return kinds[static_cast<std::size_t>(kind.value)];
}

template <class T>
fluid::Liquid<T> liquid_of(const Coolant<T>& coolant) {
  return fluid::make_liquid(liquid_kind(coolant.kind), coolant.fraction);
}

}  // namespace libloop
