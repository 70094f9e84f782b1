#include "libloop/files/bytes.hpp"

#include <filesystem>
#include <fstream>
#include <utility>

#include "libloop/base/error.hpp"
#include "libloop/files/source.hpp"

namespace libloop::files {
namespace {

[[noreturn]] void fail_file(const std::string& path, std::string message, std::string suggestion) {
  throw InputError(
      Problem{Code::file, std::move(message), std::move(suggestion), {path, 0, 0, 1, {}}});
}

}  // namespace

std::string bytes_of(const std::string& path, std::size_t mebibytes) {
  std::error_code ignored;
  const std::filesystem::file_status status = std::filesystem::status(path, ignored);
  if (status.type() == std::filesystem::file_type::not_found) {
    fail_file(path, "there is no such file", "Check the name and the folder.");
  }
  if (std::filesystem::is_directory(status)) {
    fail_file(path, "this is a folder, not a file", "Name a file in it.");
  }
  std::ifstream stream(path, std::ios::binary);
  std::string bytes(mebibytes * mebibyte + 1, '\0');
  if (!stream || !stream.read(bytes.data(), static_cast<std::streamsize>(bytes.size())).eof()) {
    if (stream) return bytes;
    fail_file(path, "the file cannot be read", "Check that you may read it.");
  }
  bytes.resize(static_cast<std::size_t>(stream.gcount()));
  return bytes;
}

}  // namespace libloop::files
