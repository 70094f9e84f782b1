#include "libloop/files/read_log.hpp"

#include <algorithm>
#include <filesystem>
#include <fstream>

#include "libloop/files/bytes.hpp"
#include "libloop/files/log_reader.hpp"

namespace libloop {
namespace {

constexpr std::size_t piece = 256 * 1024;

// Runs `read` with a choice, and once more when a later row tells the order of dates.
template <class Read>
Log with_dates(LogChoice choice, const Read& read) {
  try {
    return read(choice);
  } catch (const files::ReadAgain& again) {
    choice.reading.dates = again.order;
  }
  return read(choice);
}

// Throws InputError where a file is not there or may not be read. A pipe is left alone: a byte read
// from it would be lost.
void check_readable(const std::string& path) {
  std::error_code ignored;
  const std::filesystem::file_type type = std::filesystem::status(path, ignored).type();
  const bool pipe =
      type == std::filesystem::file_type::fifo || type == std::filesystem::file_type::character;
  if (!pipe) files::bytes_of(path, 0);
}

Log read_stream(const std::string& path, const LogChoice& choice, const Progress& progress) {
  std::error_code ignored;
  const auto size = static_cast<double>(std::filesystem::file_size(path, ignored));
  std::ifstream stream(path, std::ios::binary);
  files::LogReader reader(path, choice);
  std::string buffer(piece, '\0');
  double done = 0.0;
  while (stream) {
    stream.read(buffer.data(), static_cast<std::streamsize>(buffer.size()));
    const auto got = static_cast<std::size_t>(stream.gcount());
    reader.feed(std::string_view(buffer).substr(0, got));
    done += static_cast<double>(got);
    if (progress && size > 0.0) progress(std::min(1.0, done / size));
  }
  if (stream.bad()) {
    throw InputError(Problem{Code::file,
                             "the file cannot be read to its end",
                             "Check the medium, or copy the file.",
                             {path, 0, 0, 1, {}}});
  }
  reader.finish();
  if (progress) progress(1.0);
  return reader.release();
}

}  // namespace

Log read_log(const std::string& path, const LogChoice& choice, const Progress& progress) {
  check_readable(path);
  return with_dates(choice, [&](const LogChoice& c) { return read_stream(path, c, progress); });
}

Log parse_log(std::string_view bytes, const std::string& file, const LogChoice& choice) {
  return with_dates(choice, [&](const LogChoice& c) {
    files::LogReader reader(file, c);
    reader.feed(bytes);
    reader.finish();
    return reader.release();
  });
}

}  // namespace libloop
