#include "bindings/cli/assumed.hpp"

#include <fmt/format.h>

#include "bindings/cli/call.hpp"
#include "bindings/cli/overrides.hpp"
#include "bindings/cli/terminal.hpp"
#include "bindings/cli/values.hpp"
#include "libloop/evidence/channel.hpp"

namespace libloop::cli {

Bench bench_or_usual(const std::string& name) {
  return name.empty() ? generic_bench(generic_benches().front()) : bench_named(name);
}

std::optional<double> chip_limit(const std::string& given, const std::string& bench,
                                 const Bench& there) {
  constexpr double freezing = 273.15;  // K
  const double most = declared(Channel::chip).max;
  if (!given.empty()) return value_given("--limit", given, "C", freezing, most);
  const bool stated = !bench.empty() && !is_generic_bench(bench);
  const Sheet& chip = there.seat().chip;
  if (!stated || !chip.given("limit")) return {};
  return chip.typical("limit");
}

void tell_no_limit(const std::string& bench, bool known) {
  if (bench.empty() || known) return;
  note("no --limit given, and no chip.limit by a bench file: no limit of the chip is watched");
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
