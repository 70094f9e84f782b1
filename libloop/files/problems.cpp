#include "libloop/files/problems.hpp"

#include <utility>

namespace libloop::files {
namespace {

constexpr std::size_t most_problems = 100;

}  // namespace

void tell(Problem problem, std::vector<Problem>& problems) {
  if (problems.size() < most_problems) {
    problems.push_back(std::move(problem));
  } else if (!full(problems)) {
    problems.push_back({problem.code,
                        "there are more problems than are told here",
                        "Mend these first.",
                        {problem.place.file, 0, 0, 1, {}}});
  }
}

bool full(const std::vector<Problem>& problems) { return problems.size() > most_problems; }

}  // namespace libloop::files
