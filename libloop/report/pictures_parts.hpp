// What the pictures of coolers share: options checked, whom to draw, how.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "libloop/report/chart_words.hpp"
#include "libloop/report/pictures.hpp"

namespace libloop::report {

class Speaker {
 public:
  // Throws InputError (code call) for a mark that is neither '.' nor ','.
  explicit Speaker(const PictureOptions& options);

  std::string operator()(Word word, const std::vector<std::string>& values = {}) const {
    return say(language_, word, values);
  }
  std::string number(double value, int decimals) const;
  // As short as it is: "180", "37.5".
  std::string number(double value) const;
  std::string kelvin(double value) const { return (*this)(Word::kelvin, {number(value, 1)}); }
  char mark() const { return mark_; }

 private:
  Language language_;
  char mark_;
};

struct Chosen {
  std::vector<std::size_t> shown;  // of the titles, in their order
  std::vector<Look> looks;         // of each shown
  std::size_t hidden = 0;
  // In the table but not here, those under test and pinned first.
  std::vector<std::string> absent;
};

// Of `titles`, best first. Throws InputError where options ask for what is not there.
Chosen choose(const std::vector<std::string>& titles, const PictureOptions& options);

// A note with as many of the names as fit a line of the foot, and how many more there are.
std::string listed(const Speaker& say, Word word, const std::vector<std::string>& names);

}  // namespace libloop::report
