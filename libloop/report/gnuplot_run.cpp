#include "libloop/report/gnuplot_run.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <memory>
#include <thread>
#include <vector>

#include "libloop/base/error.hpp"
#include "libloop/base/text.hpp"
#include "libloop/report/chart_text.hpp"

namespace libloop::report {
namespace {

struct Closer {
  void operator()(std::FILE* file) const { std::fclose(file); }
};
using File = std::unique_ptr<std::FILE, Closer>;

File nameless() {
  File file(std::tmpfile());
  if (!file) {
    refuse(Code::file, "no temporary file can be made for the picture",
           "Check the space and your rights in /tmp.");
  }
  fcntl(fileno(file.get()), F_SETFD, FD_CLOEXEC);
  return file;
}

std::string all_of(std::FILE* file) {
  std::rewind(file);
  std::string out;
  std::array<char, 65536> block{};
  for (std::size_t n = 0; (n = std::fread(block.data(), 1, block.size(), file)) > 0;) {
    out.append(block.data(), n);
  }
  return out;
}

// Only what gnuplot needs to find itself, its fonts and their cache: nothing else of the
// caller's surroundings changes a picture.
std::vector<std::string> surroundings() {
  std::vector<std::string> all = {"LC_ALL=C.UTF-8"};
  for (const char* name : {"PATH", "HOME", "XDG_CACHE_HOME", "TMPDIR", "LD_LIBRARY_PATH"}) {
    if (const char* value = std::getenv(name)) all.push_back(std::string(name) + "=" + value);
  }
  return all;
}

class Actions {
 public:
  Actions() { posix_spawn_file_actions_init(&actions_); }
  ~Actions() { posix_spawn_file_actions_destroy(&actions_); }
  Actions(const Actions&) = delete;
  Actions& operator=(const Actions&) = delete;
  void stand_for(int fd, std::FILE* file) {
    posix_spawn_file_actions_adddup2(&actions_, fileno(file), fd);
  }
  const posix_spawn_file_actions_t* get() const { return &actions_; }

 private:
  posix_spawn_file_actions_t actions_{};
};

pid_t spawn(std::FILE* in, std::FILE* out, std::FILE* complaints) {
  Actions actions;
  actions.stand_for(STDIN_FILENO, in);
  actions.stand_for(STDOUT_FILENO, out);
  actions.stand_for(STDERR_FILENO, complaints);
  std::string program = "gnuplot", plain_start = "-d", from_input = "-";
  std::array<char*, 4> words = {program.data(), plain_start.data(), from_input.data(), nullptr};
  std::vector<std::string> set = surroundings();
  std::vector<char*> environment;
  for (std::string& one : set) environment.push_back(one.data());
  environment.push_back(nullptr);
  pid_t pid = 0;
  const int trouble =
      posix_spawnp(&pid, "gnuplot", actions.get(), nullptr, words.data(), environment.data());
  if (trouble == ENOENT || trouble == EACCES) {
    refuse(Code::file, "gnuplot, which draws the pictures, is not installed",
           "Install it: apt-get install gnuplot-nox");
  }
  if (trouble != 0) {
    refuse(Code::file, fmt::format("gnuplot cannot be started (error {})", trouble),
           "Try again; check memory and the number of processes.");
  }
  return pid;
}

// Its status; nothing is left running.
int wait_for(pid_t pid, std::chrono::milliseconds limit) {
  using namespace std::chrono;
  const auto end = steady_clock::now() + limit;
  int status = 0;
  for (;;) {
    const pid_t seen = waitpid(pid, &status, WNOHANG);
    if (seen == pid) return status;
    if (seen < 0 && errno != EINTR) {
      refuse(Code::file, "gnuplot ended without telling how", "Try again.");
    }
    if (steady_clock::now() >= end) break;
    std::this_thread::sleep_for(milliseconds(2));
  }
  kill(pid, SIGKILL);
  while (waitpid(pid, &status, 0) < 0 && errno == EINTR) {
  }
  refuse(Code::file,
         fmt::format("gnuplot did not end within {:.3g} s", duration<double>(limit).count()),
         "Draw fewer points, or check the installation of gnuplot.");
}

}  // namespace

std::string run_gnuplot(std::string_view script, std::chrono::milliseconds limit) {
  const File in = nameless(), out = nameless(), complaints = nameless();
  if (std::fwrite(script.data(), 1, script.size(), in.get()) != script.size() ||
      std::fflush(in.get()) != 0) {
    refuse(Code::file, "a temporary file cannot be written", "Check the space in /tmp.");
  }
  std::rewind(in.get());
  const int status = wait_for(spawn(in.get(), out.get(), complaints.get()), limit);
  if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) {
    const std::string said = plain(text::trim(all_of(complaints.get())));
    refuse(
        Code::file,
        said.empty() ? "gnuplot failed" : fmt::format("gnuplot failed: {}", text::cut(said, 300)),
        "Check the installation of gnuplot: apt-get install gnuplot-nox");
  }
  return all_of(out.get());
}

}  // namespace libloop::report
