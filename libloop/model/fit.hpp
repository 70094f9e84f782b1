// What does not fit within and between parts, however they are joined.
#pragma once

#include <vector>

#include "libloop/base/error.hpp"
#include "libloop/model/cooler.hpp"

namespace libloop {

std::vector<Problem> misfits(const Cooler& cooler);
std::vector<Problem> misfits(const Bench& bench);

}  // namespace libloop
