// What a file says and what it leaves to assumption: given, assumed with ranges, rules.
//
//   const libloop::Cooler cooler = libloop::read_cooler("my.toml");
//   std::fputs(libloop::report::text(libloop::report::contents(cooler, "my.toml")).c_str(),
//   stdout);
#pragma once

#include <span>
#include <string>
#include <vector>

#include "libloop/model/cooler.hpp"

namespace libloop::report {

// A view of one file's parts; the cooler or bench must outlive it.
struct Contents {
  std::string file;
  std::string kind;  // "cooler", "bench"
  std::string title;
  std::vector<const Sheet*> sheets;
};

Contents contents(const Cooler& cooler, std::string file);
Contents contents(const Bench& bench, std::string file);

std::string text(const Contents& file);
// One object, one entry a file.
std::string json(std::span<const Contents> files);
// One line a row of a part.
std::string csv(std::span<const Contents> files);

}  // namespace libloop::report
