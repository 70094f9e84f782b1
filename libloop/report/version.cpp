#include "libloop/report/version.hpp"

namespace libloop {

std::string_view version() { return LIBLOOP_VERSION; }

}  // namespace libloop
