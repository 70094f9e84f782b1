// From what a file says to a cooler or a bench.
#pragma once

#include "libloop/files/document.hpp"
#include "libloop/model/cooler.hpp"

namespace libloop::files {

// Both throw InputError with the problems of the document and with what the parts say of
// each other, each at its place in the file.
Cooler cooler_of(Document document);
Bench bench_of(Document document);

}  // namespace libloop::files
