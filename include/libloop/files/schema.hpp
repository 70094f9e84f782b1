// The kinds of files that exist, as schemas.
#pragma once

#include "libloop/files/document.hpp"

namespace libloop {

const Schema& cooler_schema();
const Schema& bench_schema();

}  // namespace libloop
