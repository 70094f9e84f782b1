#include "bindings/cli/patience.hpp"

#include <chrono>
#include <cstdio>
#include <utility>

#include "bindings/cli/terminal.hpp"

namespace libloop::cli {

Patience::Patience(std::string what) : what_(std::move(what)) {
  if (watched()) teller_ = std::thread([this] { tell(); });
}

Patience::~Patience() {
  {
    const std::lock_guard<std::mutex> lock(mutex_);
    done_ = true;
  }
  over_.notify_all();
  if (teller_.joinable()) teller_.join();
}

void Patience::tell() {
  std::unique_lock<std::mutex> lock(mutex_);
  int seconds = 0;
  while (!over_.wait_for(lock, std::chrono::seconds(1), [this] { return done_; })) {
    std::fprintf(stderr, "\r%s ... %d s", what_.c_str(), ++seconds);
    std::fflush(stderr);
  }
  // Leaves an empty line behind, where the answer will begin.
  if (seconds > 0) std::fprintf(stderr, "\r%*s\r", static_cast<int>(what_.size()) + 12, "");
}

}  // namespace libloop::cli
