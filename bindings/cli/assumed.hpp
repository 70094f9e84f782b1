// What a call leaves out, and what is taken for it.
#pragma once

#include <optional>
#include <string>

#include "libloop/model/cooler.hpp"

namespace libloop::cli {

// The bench a call names; the first generic one when it names none.
Bench bench_or_usual(const std::string& name);

// Where the chip lowers its power, K absolute: --limit as given, else the first chip's as a bench
// file states it. Nothing when neither does: a typical limit is nobody's. `bench` is the call's
// word for it, read as `there`. Throws WrongCall.
std::optional<double> chip_limit(const std::string& given, const std::string& bench,
                                 const Bench& there);
// Tells that a bench was given and states no limit.
void tell_no_limit(const std::string& bench, bool known);

// Tell what was taken; silent where the call gave it.
void tell_usual_bench(const std::string& given);
void tell_usual_ambient(bool given);

// A few samples have no 5 and 95 % points to speak of. Throws WrongCall.
void check_samples(int samples);

}  // namespace libloop::cli
