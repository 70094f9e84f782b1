#include "libloop/model/paths.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "libloop/base/error.hpp"
#include "libloop/base/text.hpp"

namespace libloop {

std::vector<std::string> paths_of(const std::vector<const Sheet*>& sheets) {
  std::map<std::string, int> of_kind, seen;
  for (const Sheet* sheet : sheets) ++of_kind[sheet->table().kind];
  std::vector<std::string> paths;
  for (const Sheet* sheet : sheets) {
    const std::string& kind = sheet->table().kind;
    const int number = ++seen[kind];
    const bool numbered = sheet->name().empty() && of_kind[kind] > 1;
    paths.push_back(numbered ? fmt::format("{}.{}", kind, number) : sheet->path());
  }
  return paths;
}

void set_by_path(const std::vector<Sheet*>& sheets, std::string_view path, std::string_view value) {
  const std::size_t dot = path.rfind('.');
  const std::string_view part = path.substr(0, dot == std::string_view::npos ? 0 : dot);
  const std::string_view row = path.substr(dot == std::string_view::npos ? 0 : dot + 1);
  std::map<std::string, int> seen;
  bool found = false;
  for (Sheet* sheet : sheets) {
    const std::string& kind = sheet->table().kind;
    const std::string number = fmt::format("{}.{}", kind, ++seen[kind]);
    if (part != kind && part != sheet->path() && part != number) continue;
    sheet->set(row, value);
    found = true;
  }
  if (found) return;
  const std::vector<const Sheet*> known(sheets.begin(), sheets.end());
  const std::vector<std::string> parts = paths_of(known);
  std::vector<std::string> rows;
  for (std::size_t i = 0; i < known.size(); ++i) {
    for (const Row& r : known[i]->table().rows) rows.push_back(parts[i] + "." + r.name);
  }
  throw InputError(Problem{Code::unknown,
                           fmt::format("no quantity is called '{}'", path),
                           text::did_you_mean(path, rows),
                           {}});
}

bool has_kind(const std::vector<const Sheet*>& sheets, std::string_view path) {
  return std::any_of(sheets.begin(), sheets.end(), [&](const Sheet* sheet) {
    return path.rfind(sheet->table().kind + ".", 0) == 0;
  });
}

}  // namespace libloop
