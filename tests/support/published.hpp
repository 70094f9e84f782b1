// One line per published check: CHECKs it, and keeps it for the validation table.
//
// The table is written beside the test program as `validation.tsv`; the test
// `validation table` compares it with docs/validation.md.
#pragma once

#include <string_view>

namespace libloop::testing {

// `relative` is the tolerance on (got - expected) / expected; where expected is 0 it
// is absolute. `source` names author, year, table, and says "from memory" or "known
// through a transcription" where that is so.
void published(std::string_view check, std::string_view source, double expected, double got,
               double relative);

// A range instead of a value: low <= got <= high.
void published_range(std::string_view check, std::string_view source, double low, double high,
                     double got);

// A predicted 5-95 % interval against a range: met when the two overlap and half the
// interval is at most `widest` of the median (0: the width is only printed).
void published_overlap(std::string_view check, std::string_view source, double low, double high,
                       double p05, double p50, double p95, double widest);

// Writes all rows so far, sorted, to `path`.
void write_validation(const char* path);

}  // namespace libloop::testing
