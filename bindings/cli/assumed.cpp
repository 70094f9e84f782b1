#include "bindings/cli/assumed.hpp"

#include <fmt/format.h>

#include "bindings/cli/call.hpp"
#include "bindings/cli/overrides.hpp"
#include "bindings/cli/terminal.hpp"

namespace libloop::cli {

Bench bench_or_usual(const std::string& name) {
  return name.empty() ? generic_bench(generic_benches().front()) : bench_named(name);
}

void tell_usual_bench(const std::string& given) {
  if (!given.empty()) return;
  note(fmt::format("no --bench given: taking {}, typical and nobody's", generic_benches().front()));
}

void tell_usual_ambient(bool given) {
  if (!given) note("no --ambient given: taking 25 C");
}

void check_samples(int samples) {
  constexpr int fewest = 50;
  if (samples <= 0 || samples >= fewest) return;
  fail_call(fmt::format("--samples {}: too few for an interval", samples),
            fmt::format("Take at least {}, or 0 for typical values only.", fewest));
}

}  // namespace libloop::cli
