#define DOCTEST_CONFIG_IMPLEMENT
#include <doctest/doctest.h>

#include "support/published.hpp"

int main(int argc, char** argv) {
  doctest::Context context(argc, argv);
  const int failed = context.run();
  libloop::testing::write_validation("validation.tsv");
  return failed;
}
