// How many of something a test takes: fewer where every one costs much more.
#pragma once

namespace libloop::testing {

#if defined(NDEBUG) && !defined(__SANITIZE_ADDRESS__)
inline constexpr bool quick_build = true;
#else
inline constexpr bool quick_build = false;
#endif

constexpr int amount(int in_release, int else_where) {
  return quick_build ? in_release : else_where;
}

}  // namespace libloop::testing
