// Why rows of a table are not used.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "libloop/evidence/log.hpp"

namespace libloop::files {

// Reasons with the lines they hold for, and their coolers; beyond so many, the rest is one.
class Reasons {
 public:
  void add(const std::string& words, int line, const std::string& cooler = {});
  std::vector<LeftOut> told() const;

 private:
  struct Reason {
    std::string words;
    std::vector<std::string> lines;
    std::vector<std::string> coolers;  // of these lines, each once
    long long count = 0;
  };
  std::vector<Reason> all_;
  std::map<std::string, std::size_t> index_;
};

}  // namespace libloop::files
