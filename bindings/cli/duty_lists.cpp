#include "bindings/cli/duty_lists.hpp"

#include <fmt/format.h>

#include "bindings/cli/call.hpp"
#include "bindings/cli/terminal.hpp"
#include "libloop/base/text.hpp"
#include "libloop/model/rated_speed.hpp"
#include "libloop/part/catalogue.hpp"
#include "libloop/quantity/unit.hpp"

namespace libloop::cli {
namespace {

constexpr std::size_t most_points = 10000;

std::vector<std::string> pieces(const std::vector<std::string>& lists, const std::string& option) {
  std::vector<std::string> all;
  for (const std::string& list : lists) {
    for (const std::string& piece : text::split(list, ',')) {
      const std::string word(text::trim(piece));
      if (word.empty()) {
        fail_call(fmt::format("{} {}: an empty value", option, list),
                  "Divide values by one comma.");
      }
      all.push_back(word);
    }
  }
  return all;
}

// The value of one of the conditions in SI, within its bounds.
double bounded(const std::string& where, const char* condition, double si, std::string_view unit) {
  const Row& row = *conditions_table().find(condition);
  if (si >= row.min && si <= row.max) return si;
  fail_call(
      fmt::format("{}: {} is out of bounds", where, show(si, unit)),
      fmt::format("It must lie between {} and {}.", show(row.min, unit), show(row.max, unit)));
}

// A value whose unit may be left out, for it can be no other.
double plain_or_with_unit(const std::string& option, const char* condition,
                          const std::string& word) {
  const std::string where = option + " " + word;
  const std::string& unit = conditions_table().find(condition)->unit;
  const std::optional<double> number = text::parse_number(word);
  const double si =
      number ? from_unit(*number, unit) : as_call(where, [&] { return parse_value(word, unit); });
  return bounded(where, condition, si, unit);
}

// ---- speeds

double share_of_rated(const std::string& where, const std::string& word, const RatedSpeed& rated,
                      const Cooler& cooler) {
  const double speed = as_call(where, [&] { return parse_value(word, "rpm"); });
  if (rated.value == 0.0) {
    fail_call(fmt::format("{}: {} has no {}", where, cooler.title, rated.machines),
              "Leave the option out.");
  }
  if (!rated.alike) {
    fail_call(fmt::format("{}: the {} of {} have unlike rated speeds", where, rated.machines,
                          cooler.title),
              "Give their speed in per cent of rated speed: \"60 %\".");
  }
  if (!rated.given) {
    note(
        fmt::format("{}: the rated speed of the {} of {} is not given; {} counts as {:.0f} % of "
                    "its typical {}",
                    where, rated.machines, cooler.title, word, 100.0 * speed / rated.value,
                    show(rated.value, "rpm")));
  }
  return speed / rated.value;
}

double speed_share(const std::string& option, const char* condition, const std::string& word,
                   const RatedSpeed& rated, const Cooler& cooler) {
  const std::string where = option + " " + word;
  if (text::parse_number(word)) {
    fail_call(fmt::format("{}: per cent or rpm?", where),
              fmt::format("Write \"{0} %\" (of rated speed) or \"{0} rpm\", in quotes.", word));
  }
  const bool percent = word.back() == '%';
  const double share = percent ? as_call(where, [&] { return parse_value(word, "1"); })
                               : share_of_rated(where, word, rated, cooler);
  return bounded(where, condition, share, "%");
}

std::vector<double> shares(const std::string& option, const char* condition,
                           const std::vector<std::string>& lists, const Cooler& cooler) {
  const RatedSpeed rated = rated_speed(cooler, condition);
  std::vector<double> all;
  for (const std::string& word : pieces(lists, option)) {
    all.push_back(speed_share(option, condition, word, rated, cooler));
  }
  if (all.empty()) all.push_back(1.0);
  return all;
}

}  // namespace

std::vector<Duty> duties(const DutyLists& lists, const Cooler& cooler) {
  std::vector<double> loads;
  for (const std::string& word : pieces(lists.load, "--load")) {
    loads.push_back(plain_or_with_unit("--load", "load", word));
  }
  Duty duty;
  if (!lists.ambient.empty()) {
    duty.ambient = plain_or_with_unit("--ambient", "ambient", lists.ambient);
  }
  if (!lists.altitude.empty()) {
    duty.altitude = plain_or_with_unit("--altitude", "altitude", lists.altitude);
  }
  const std::vector<double> fans = shares("--fan", "fan", lists.fan, cooler);
  const std::vector<double> pumps = shares("--pump", "pump", lists.pump, cooler);
  if (loads.size() * fans.size() * pumps.size() > most_points) {
    fail_call(
        fmt::format("{} x {} x {} points are too many", loads.size(), fans.size(), pumps.size()),
        fmt::format("At most {} at a time.", most_points));
  }
  std::vector<Duty> all;
  for (const double load : loads) {
    for (const double fan : fans) {
      for (const double pump : pumps) {
        duty.load = load;
        duty.fan = fan;
        duty.pump = pump;
        all.push_back(duty);
      }
    }
  }
  return all;
}

}  // namespace libloop::cli
