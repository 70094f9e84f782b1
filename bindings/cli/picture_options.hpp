// Pictures that a verb draws beside its answer.
#pragma once

#include <string>
#include <vector>

#include "bindings/cli/call.hpp"
#include "libloop/report/pictures.hpp"

namespace libloop::cli {

struct PictureCall {
  std::string path, language, title, note;
};

// --picture, --language, --picture-title, --picture-note.
void add_picture_options(CLI::App& verb, PictureCall& call, const std::string& what);

// Faults of the call, before any work is done: throws WrongCall unless an empty path or one that
// ends in .svg or .png.
void check_picture(const std::string& option, const std::string& path);
report::PictureOptions picture_options(const PictureCall& call);

}  // namespace libloop::cli
