#include "libloop/evidence/instruments.hpp"

namespace libloop {

Instruments<double> instruments(const Bench& bench) {
  const double* none = nullptr;  // no row of it takes part in samples
  return take<Instruments>(bench.instruments, none);
}

}  // namespace libloop
