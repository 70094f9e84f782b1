// The header of a profile: which quantity stands in which column, in which unit.
#pragma once

#include <string>
#include <vector>

#include "libloop/base/error.hpp"
#include "libloop/files/csv.hpp"
#include "libloop/files/source.hpp"
#include "libloop/model/model.hpp"

namespace libloop::files {

struct ProfileColumn {
  std::string called;  // "load"
  std::string name;    // "conditions.load", "time"; empty when the column was not understood
  std::string unit;    // as written; "1" when left out
  double factor = 1.0, offset = 0.0;  // SI = number * factor + offset
  double min = 0.0, max = 0.0;        // SI

  bool known() const { return !name.empty(); }
  bool is_time() const { return name == "time"; }
  double si(double number) const { return number * factor + offset; }
  // An SI value in the unit of the column: "180 W".
  std::string show(double si) const;
};

// One column for each cell of `header`. Faults go to `problems`, assumptions to `notes`.
std::vector<ProfileColumn> profile_columns(const Source& source, const CsvRow& header,
                                           const Model& model, std::vector<Problem>& problems,
                                           std::vector<std::string>& notes);

}  // namespace libloop::files
