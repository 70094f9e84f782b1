// Tells whoever waits on a terminal that work goes on; silent within the first second.
#pragma once

#include <condition_variable>
#include <mutex>
#include <string>
#include <thread>

namespace libloop::cli {

// Lives as long as the work.
class Patience {
 public:
  explicit Patience(std::string what);
  ~Patience();
  Patience(const Patience&) = delete;
  Patience& operator=(const Patience&) = delete;

 private:
  void tell();

  std::string what_;
  std::mutex mutex_;
  std::condition_variable over_;
  bool done_ = false;
  std::thread teller_;
};

}  // namespace libloop::cli
