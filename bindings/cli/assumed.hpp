// What a call leaves out, and what is taken for it.
#pragma once

#include <string>

#include "libloop/model/cooler.hpp"

namespace libloop::cli {

// The bench a call names; the first generic one when it names none.
Bench bench_or_usual(const std::string& name);

// Tell what was taken; silent where the call gave it.
void tell_usual_bench(const std::string& given);
void tell_usual_ambient(bool given);

// A few samples have no 5 and 95 % points to speak of. Throws WrongCall.
void check_samples(int samples);

}  // namespace libloop::cli
