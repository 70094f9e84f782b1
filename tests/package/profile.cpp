// Reads a profile: that takes libcsv, which hello.cpp does not.
#include <cstdio>

#include "libloop/files/read.hpp"
#include "libloop/files/read_profile.hpp"

int main() {
  const libloop::Model model(libloop::read_cooler("examples/dense-280.toml"),
                             libloop::generic_bench("one-large-die"));
  const libloop::Profile profile =
      libloop::read_profile("examples/profile-work-and-rest.csv", model);
  std::printf("%.0f s\n", profile.end());
}
