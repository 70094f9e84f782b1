#include <algorithm>
#include <filesystem>
#include <fstream>
#include <utility>

#include "libloop/files/bytes.hpp"
#include "libloop/files/log_reader.hpp"
#include "libloop/files/read_log.hpp"

namespace libloop {
namespace {

constexpr std::size_t piece = 256 * 1024;
// Up to this size a file is read anew each time: how it is to be read shows better and better.
constexpr std::size_t small = 256 * 1024;
constexpr std::size_t compared = 4096;  // bytes at its start, by which another file is told

}  // namespace

struct GrowingLog::Impl {
  std::string path;
  LogChoice choice;
  std::optional<DateOrder> dates;  // as later rows told
  std::unique_ptr<files::LogReader> reader;
  Log empty;
  std::string start;      // of the file
  std::size_t taken = 0;  // bytes

  void begin_anew() {
    LogChoice settled = choice;
    if (dates) settled.reading.dates = dates;
    reader = std::make_unique<files::LogReader>(path, settled);
    taken = 0;
  }

  bool was_replaced(std::ifstream& stream, std::size_t size) {
    std::string now(std::min(compared, size), '\0');
    stream.read(now.data(), static_cast<std::streamsize>(now.size()));
    const std::size_t both = std::min(now.size(), start.size());
    const bool other = size < taken || now.compare(0, both, start, 0, both) != 0;
    start = std::move(now);
    return other;
  }

  void take(std::ifstream& stream, std::size_t size) {
    stream.clear();
    stream.seekg(static_cast<std::streamoff>(taken));
    std::string buffer(piece, '\0');
    while (taken < size) {
      stream.read(buffer.data(), static_cast<std::streamsize>(std::min(piece, size - taken)));
      const auto got = static_cast<std::size_t>(stream.gcount());
      if (got == 0) break;
      taken += got;
      reader->feed(std::string_view(buffer).substr(0, got));
    }
    reader->pause();
  }

  bool update() {
    files::bytes_of(path, 0);  // throws where the file cannot be read
    std::ifstream stream(path, std::ios::binary);
    stream.seekg(0, std::ios::end);
    const auto size = static_cast<std::size_t>(std::max<std::streamoff>(0, stream.tellg()));
    stream.seekg(0);
    const bool other = was_replaced(stream, size);
    if (other) dates.reset();
    if (!other && reader && size == taken) return false;
    const long long before = other || !reader ? 0 : reader->log().rows_read;
    if (other || !reader || taken < small) begin_anew();
    try {
      take(stream, size);
    } catch (const files::ReadAgain& again) {
      dates = again.order;
      begin_anew();
      take(stream, size);
    }
    return reader->log().rows_read > before;
  }
};

GrowingLog::GrowingLog(std::string path, LogChoice choice) : impl_(std::make_unique<Impl>()) {
  impl_->path = std::move(path);
  impl_->choice = std::move(choice);
  impl_->empty.file = impl_->path;
}

GrowingLog::GrowingLog(GrowingLog&&) noexcept = default;
GrowingLog::~GrowingLog() = default;

bool GrowingLog::update() { return impl_->update(); }

const Log& GrowingLog::log() const { return impl_->reader ? impl_->reader->log() : impl_->empty; }

}  // namespace libloop
