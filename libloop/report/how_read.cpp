#include "libloop/report/how_read.hpp"

#include <fmt/format.h>

#include "libloop/report/chart_text.hpp"
#include "libloop/report/table.hpp"

namespace libloop::report {

std::string sentence(std::string words) {
  words = plain(words);
  while (!words.empty() && (words.back() == '.' || words.back() == ' ')) words.pop_back();
  return words + '.';
}

std::string counted(long long count, const char* one, const char* many) {
  return fmt::format("{} {}", count, count == 1 ? one : many);
}

std::string how_read(const std::vector<HowRead>& files) {
  const bool several = files.size() > 1;
  std::string out = several ? "\nHow the files were read\n" : "\nHow the file was read\n";
  for (const HowRead& file : files) {
    const std::string who = several ? plain(file.file) + ": " : "";
    out += paragraph("  - ", who + counted(file.rows, "row", "rows") + '.');
    for (const LeftOut& rows : *file.left_out) {
      out +=
          paragraph("  - ", who + fmt::format("left out: {}, {}",
                                              counted(rows.count, "row or cell", "rows or cells"),
                                              sentence(rows.reason)));
    }
    for (const std::string& decision : *file.decisions) {
      out += paragraph("  - ", who + sentence(decision));
    }
  }
  return out;
}

Json json_decisions(const std::vector<HowRead>& files) {
  Json list = Json::array();
  for (const HowRead& file : files) {
    for (const std::string& decision : *file.decisions) {
      list.push_back({{"file", file.file}, {"text", decision}});
    }
  }
  return list;
}

Json json_left_out(const std::vector<HowRead>& files) {
  Json list = Json::array();
  for (const HowRead& file : files) {
    for (const LeftOut& rows : *file.left_out) {
      list.push_back(
          {{"file", file.file}, {"what", "rows"}, {"count", rows.count}, {"reason", rows.reason}});
    }
  }
  return list;
}

}  // namespace libloop::report
