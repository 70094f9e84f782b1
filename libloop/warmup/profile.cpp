#include "libloop/warmup/profile.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/error.hpp"

namespace libloop {
namespace {

// Sizes and stored heat stay: heat would come from nowhere.
bool may_move(const Row& row) {
  return row.kind != Kind::geometry && row.kind != Kind::material && row.name != "lag";
}

void check_times(const std::vector<double>& times) {
  if (times.empty())
    refuse(Code::bounds, "the profile has no row", "Give at least one row, at 0 s.");
  if (times.front() != 0.0) {
    refuse(Code::bounds, fmt::format("the first row stands at {:.6g} s", times.front()),
           "A profile begins at 0 s.");
  }
  for (std::size_t i = 0; i < times.size(); ++i) {
    if (!std::isfinite(times[i]) || times[i] > longest_profile) {
      refuse(Code::bounds, fmt::format("a row stands at {:.6g} s", times[i]),
             fmt::format("Times lie between 0 and {:.6g} s.", longest_profile));
    }
    if (i > 0 && times[i] < times[i - 1]) {
      refuse(Code::bounds, fmt::format("after {:.6g} s stands {:.6g} s", times[i - 1], times[i]),
             "Times must not fall.");
    }
    if (i > 1 && times[i] == times[i - 2]) {
      refuse(Code::bounds, fmt::format("three rows stand at {:.6g} s", times[i]),
             "Two rows make a step.");
    }
  }
}

}  // namespace

void Profile::check(const Model& model) const {
  check_times(times);
  if (values.size() != names.size())
    refuse(Code::bounds, "names and values differ in number", "One list each.");
  for (std::size_t c = 0; c < names.size(); ++c) {
    const Row& row = *model.quantities()[model.index(names[c])].row;
    if (std::count(names.begin(), names.end(), names[c]) > 1) {
      refuse(Code::bounds, names[c] + " moves twice", "One column for each quantity.");
    }
    if (!may_move(row)) {
      refuse(Code::bounds, names[c] + " cannot move in time",
             "Loads, speeds and what a tester turns can; sizes, masses and lags stay.");
    }
    if (values[c].size() != times.size()) {
      refuse(Code::bounds,
             fmt::format("{} has {} values for {} rows", names[c], values[c].size(), times.size()),
             "One value a row.");
    }
    for (std::size_t i = 0; i < times.size(); ++i) {
      if (values[c][i] >= row.min && values[c][i] <= row.max) continue;
      refuse(
          Code::bounds,
          fmt::format("{} = {:.6g} at {:.6g} s is out of bounds", names[c], values[c][i], times[i]),
          fmt::format("It must lie between {:.6g} and {:.6g} (SI).", row.min, row.max));
    }
  }
}

Profile steady(const Duty& duty) {
  return {{"conditions.load", "conditions.ambient", "conditions.altitude", "conditions.fan",
           "conditions.pump"},
          {0.0},
          {{duty.load}, {duty.ambient}, {duty.altitude}, {duty.fan}, {duty.pump}}};
}

}  // namespace libloop
