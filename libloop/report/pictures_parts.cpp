#include "libloop/report/pictures_parts.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "libloop/base/error.hpp"
#include "libloop/base/text.hpp"
#include "libloop/report/chart_parts.hpp"
#include "libloop/report/chart_text.hpp"
#include "libloop/report/palette.hpp"

namespace libloop::report {
namespace {

constexpr double longest_listed = 500.0;  // px, of a name in a note; judgement

bool in(const std::vector<std::string>& list, const std::string& one) {
  return std::find(list.begin(), list.end(), one) != list.end();
}

void check(const std::vector<std::string>& titles, const PictureOptions& options) {
  std::vector<std::string> wanted = options.pinned;
  if (!options.under_test.empty()) wanted.push_back(options.under_test);
  std::vector<Problem> problems;
  for (const std::string& title : wanted) {
    if (in(titles, title) || in(options.titles, title)) continue;
    std::vector<std::string> known = titles;
    known.insert(known.end(), options.titles.begin(), options.titles.end());
    std::string hint = text::did_you_mean(title, known);
    if (hint.empty()) hint = "Write its title as the table has it.";
    problems.push_back({Code::unknown,
                        fmt::format("no cooler of the table is called '{}'", title),
                        std::move(hint),
                        {}});
  }
  // With none of the rest and nobody else the picture would be empty.
  if (options.best < 0 || (options.best == 0 && wanted.empty())) {
    problems.push_back({Code::call,
                        fmt::format("{} of the rest cannot be drawn", options.best),
                        "Give 1 or more, or 0 beside a cooler under test or pinned.",
                        {}});
  }
  if (!problems.empty()) throw InputError(std::move(problems));
}

}  // namespace

Speaker::Speaker(const PictureOptions& options)
    : language_(options.language),
      mark_(options.decimal_mark == 0 ? decimal_mark_of(options.language) : options.decimal_mark) {
  if (mark_ != '.' && mark_ != ',') {
    refuse(Code::call, fmt::format("'{}' is no decimal mark", mark_), "Use a point or a comma.");
  }
}

std::string Speaker::number(double value, int decimals) const {
  return decimal(value, decimals, mark_);
}

std::string Speaker::number(double value) const {
  std::string out = text::number(value);
  std::replace(out.begin(), out.end(), '.', mark_);
  return out;
}

Chosen choose(const std::vector<std::string>& titles, const PictureOptions& options) {
  check(titles, options);
  std::vector<std::string> all = titles;
  all.insert(all.end(), options.titles.begin(), options.titles.end());
  const std::map<std::string, Look> looks = looks_of(std::move(all));
  const bool nobody = options.under_test.empty() && options.pinned.empty();
  Chosen chosen;
  int rest = 0;
  for (std::size_t i = 0; i < titles.size(); ++i) {
    Look look = looks.at(titles[i]);
    if (titles[i] == options.under_test) {
      look.emphasis = Emphasis::strong;
    } else if (!in(options.pinned, titles[i])) {
      if (rest == options.best) {
        ++chosen.hidden;
        continue;
      }
      ++rest;
      if (!nobody) look.emphasis = Emphasis::muted;
    }
    chosen.shown.push_back(i);
    chosen.looks.push_back(look);
  }
  std::vector<std::string> wanted = options.pinned;
  if (!options.under_test.empty()) wanted.push_back(options.under_test);
  wanted.insert(wanted.end(), options.titles.begin(), options.titles.end());
  for (const std::string& title : wanted) {
    if (!in(titles, title) && !in(chosen.absent, title)) chosen.absent.push_back(title);
  }
  return chosen;
}

std::string listed(const Speaker& say, Word word, const std::vector<std::string>& names) {
  std::string list, out;
  for (std::size_t i = 0; i < names.size(); ++i) {
    list += (i == 0 ? "" : ", ") + fitted(names[i], longest_listed, smallest_text);
    const std::size_t more = names.size() - i - 1;
    std::string note =
        say(word, {more == 0 ? list : say(Word::and_more, {list, std::to_string(more)})});
    if (i == 0 || text_px(note, smallest_text) <= foot_width) out = std::move(note);
  }
  return out;
}

}  // namespace libloop::report
