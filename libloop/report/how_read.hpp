// How files were read: the section of the text and the keys of the JSON that every report of
// measured data ends with.
#pragma once

#include <string>
#include <vector>

#include "libloop/evidence/log.hpp"
#include "libloop/report/json_parts.hpp"

namespace libloop::report {

struct HowRead {
  std::string file;
  long long rows = 0;
  const std::vector<std::string>* decisions = nullptr;
  const std::vector<LeftOut>* left_out = nullptr;  // rows
};

// "How the files were read", one item a decision, and what was left out.
std::string how_read(const std::vector<HowRead>& files);
// [{"file", "text"}]
Json json_decisions(const std::vector<HowRead>& files);
// [{"file", "what": "rows", "count", "reason"}]
Json json_left_out(const std::vector<HowRead>& files);

// A sentence as items end it: with one full stop.
std::string sentence(std::string words);
// "1 row", "3 rows"
std::string counted(long long count, const char* one, const char* many);

}  // namespace libloop::report
