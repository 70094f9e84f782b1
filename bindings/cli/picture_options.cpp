#include "bindings/cli/picture_options.hpp"

#include <fmt/format.h>

#include "libloop/base/text.hpp"

namespace libloop::cli {
namespace {

bool ends_in(const std::string& path, const std::string& end) {
  return path.size() > end.size() && path.compare(path.size() - end.size(), end.size(), end) == 0;
}

}  // namespace

void add_picture_options(CLI::App& verb, PictureCall& call, const std::string& what) {
  constexpr const char* group = "Pictures";
  verb.add_option("--picture", call.path, what + ": .svg or .png, replaced if there")
      ->type_name("FILE")
      ->group(group);
  verb.add_option("--language", call.language,
                  fmt::format("Their language: {} (left out: en)",
                              text::list(report::language_words(), "or")))
      ->type_name("WORD")
      ->group(group);
  verb.add_option("--picture-title", call.title, "Title (left out: ours)")
      ->type_name("TEXT")
      ->group(group);
  verb.add_option("--picture-note", call.note, "One more line at the foot")
      ->type_name("TEXT")
      ->group(group);
}

void check_picture(const std::string& option, const std::string& path) {
  if (path.empty() || ends_in(path, ".svg") || ends_in(path, ".png")) return;
  fail_call(fmt::format("{} {}: which kind of picture?", option, path),
            "Let its name end in .svg or .png.");
}

report::PictureOptions picture_options(const PictureCall& call) {
  check_picture("--picture", call.path);
  report::PictureOptions options;
  if (!call.language.empty()) {
    options.language =
        as_call("--language " + call.language, [&] { return report::language_of(call.language); });
  }
  options.title = call.title;
  options.note = call.note;
  return options;
}

}  // namespace libloop::cli
