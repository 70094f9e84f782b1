#include "bindings/cli/terminal.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <stdexcept>

#include "libloop/report/table.hpp"

namespace libloop::cli {
namespace {

// NO_COLOR: any value that is not empty says no.
bool colour(int stream) {
  const char* no = std::getenv("NO_COLOR");
  const char* term = std::getenv("TERM");
  if (no != nullptr && *no != '\0') return false;
  if (term == nullptr || std::strcmp(term, "dumb") == 0) return false;
  return isatty(stream) == 1;
}

std::string red(std::string_view word, int stream) {
  return colour(stream) ? fmt::format("\x1b[1;31m{}\x1b[0m", word) : std::string(word);
}

void say(const std::string& line) {
  std::fputs(line.c_str(), stderr);
  std::fflush(stderr);
}

}  // namespace

void print(const std::string& data) {
  std::size_t done = 0;
  while (done < data.size()) {
    const ssize_t written = write(STDOUT_FILENO, data.data() + done, data.size() - done);
    if (written >= 0) {
      done += static_cast<std::size_t>(written);
    } else if (errno == EPIPE) {
      return;
    } else if (errno != EINTR) {
      throw std::runtime_error(
          fmt::format("standard output cannot be written: {}", std::strerror(errno)));
    }
  }
}

void print_text(const std::string& text) {
  constexpr std::string_view word = "\nCAUTION";
  std::string out;
  std::size_t from = 0;
  for (std::size_t at = text.find(word); at != std::string::npos; at = text.find(word, from)) {
    out += text.substr(from, at + 1 - from) + red(word.substr(1), STDOUT_FILENO);
    from = at + word.size();
  }
  print(out + text.substr(from));
}

void note(std::string_view text) { say(report::paragraph("note: ", text)); }

void complain(std::string_view text) {
  say(fmt::format("{} {}\n", red("error:", STDERR_FILENO), text));
}

void complain(const std::vector<Problem>& problems) {
  for (const Problem& problem : problems) complain(problem.describe());
  if (problems.size() > 1) say(fmt::format("{} errors\n", problems.size()));
}

bool watched() { return isatty(STDERR_FILENO) == 1; }

}  // namespace libloop::cli
