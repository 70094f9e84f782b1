// --set part.name=value, and coolers and benches as a call names them.
#pragma once

#include <string>
#include <vector>

#include "libloop/model/cooler.hpp"

namespace libloop::cli {

// Sets each "radiator.fin_density=16 fpi" in the cooler, else in the bench; either may be
// null. Throws WrongCall.
void set_all(const std::vector<std::string>& settings, Cooler* cooler, Bench* bench);

// A cooler file; without a title it is called by its file.
Cooler cooler_named(const std::string& path);
// A bench file, or one of the generic benches.
Bench bench_named(const std::string& name);
bool is_generic_bench(const std::string& name);

// The name of a file without folder and ".toml".
std::string stem(const std::string& path);

}  // namespace libloop::cli
