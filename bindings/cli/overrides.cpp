#include "bindings/cli/overrides.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "bindings/cli/call.hpp"
#include "libloop/base/text.hpp"
#include "libloop/files/read.hpp"

namespace libloop::cli {
namespace {

void add_paths(const std::vector<const Sheet*>& sheets, std::vector<std::string>& paths) {
  for (const Sheet* sheet : sheets) {
    for (const Row& row : sheet->table().rows) paths.push_back(sheet->path() + "." + row.name);
  }
}

// as_call says where.
[[noreturn]] void fail_unknown(const std::string& path, const Cooler* cooler, const Bench* bench) {
  std::vector<std::string> paths;
  if (cooler != nullptr) add_paths(cooler->sheets(), paths);
  if (bench != nullptr) add_paths(bench->sheets(), paths);
  std::string hint = text::did_you_mean(path, paths);
  if (hint.empty()) hint = "'libloop quantities' lists them all.";
  throw InputError(Problem{Code::unknown, "no quantity is called so", hint, {}});
}

void set_one(const std::string& setting, Cooler* cooler, Bench* bench) {
  const std::size_t equals = setting.find('=');
  if (equals == std::string::npos) {
    fail_call(fmt::format("--set {}: there is no '='", setting),
              "Write --set radiator.fin_density=\"16 fpi\".");
  }
  const std::string path(text::trim(setting.substr(0, equals)));
  const std::string value(text::trim(setting.substr(equals + 1)));
  if (!value.empty() && value.front() == '{') {
    fail_call(fmt::format("--set {}: a range belongs in the file", setting),
              "Write it there; --set takes one exact value: radiator.fin_density=\"16 fpi\".");
  }
  as_call("--set " + setting, [&] {
    if (cooler != nullptr && cooler->has(path)) {
      cooler->set(path, value);
    } else if (bench != nullptr && bench->has(path)) {
      bench->set(path, value);
    } else {
      fail_unknown(path, cooler, bench);
    }
  });
}

// The stem, or nothing when a terminal had better not see it.
std::string printable_stem(const std::string& path) {
  const std::string name = stem(path);
  return text::first_bad_byte(name) ? std::string() : name;
}

}  // namespace

void set_all(const std::vector<std::string>& settings, Cooler* cooler, Bench* bench) {
  for (const std::string& setting : settings) set_one(setting, cooler, bench);
}

std::string stem(const std::string& path) { return std::filesystem::path(path).stem().string(); }

Cooler cooler_named(const std::string& path) {
  Cooler cooler = read_cooler(path);
  if (cooler.title.empty()) cooler.title = printable_stem(path);
  return cooler;
}

bool is_generic_bench(const std::string& name) {
  const std::vector<std::string> names = generic_benches();
  return std::find(names.begin(), names.end(), name) != names.end();
}

Bench bench_named(const std::string& name) {
  // What looks like a file is one; any other word names a bench that comes with us.
  const bool file = name.find_first_of("./\\") != std::string::npos;
  if (!file && !std::filesystem::exists(name)) {
    return as_call("--bench " + name, [&] { return generic_bench(name); });
  }
  Bench bench = read_bench(name);
  if (bench.title.empty()) bench.title = printable_stem(name);
  return bench;
}

}  // namespace libloop::cli
