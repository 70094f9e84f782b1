#include "libloop/report/warmup_owners.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "libloop/base/text.hpp"

namespace libloop::report {
namespace {

constexpr double least_share = 0.03;  // to be told by name
constexpr double least_group = 0.10;  // to be told in a sentence

constexpr std::string_view rest = "the rest";
constexpr std::string_view plate = "plate, paste and chip";

bool begins(std::string_view name, std::string_view with) { return name.rfind(with, 0) == 0; }

bool ends(std::string_view name, std::string_view with) {
  return name.size() >= with.size() && name.substr(name.size() - with.size()) == with;
}

std::string percent(double share) {
  const std::string number = fmt::format("{:.0f}", 100.0 * share);
  return (number == "-0" ? "0" : number) + " %";
}

std::string named(const std::vector<Owner>& owners, double sign) {
  std::vector<std::string> words;
  double other = 0.0;
  for (const Owner& owner : owners) {
    if (std::abs(owner.share) >= least_share) {
      words.push_back(fmt::format("{} {}", owner.name, percent(sign * owner.share)));
    } else {
      other += sign * owner.share;
    }
  }
  if (std::abs(other) >= 0.005) words.push_back("other " + percent(other));
  std::string out;
  for (const std::string& word : words) out += (out.empty() ? "" : ", ") + word;
  return out;
}

using Groups = std::vector<std::pair<std::string_view, double>>;

// Sums by group, the largest first and the rest last.
Groups groups(const std::vector<Owner>& owners, std::string_view (*group)(std::string_view),
              double sign) {
  Groups all;
  for (const Owner& owner : owners) {
    const std::string_view name = group(owner.name);
    const auto known =
        std::find_if(all.begin(), all.end(), [&](const auto& g) { return g.first == name; });
    if (known != all.end()) known->second += sign * owner.share;
    if (known == all.end()) all.emplace_back(name, sign * owner.share);
  }
  std::sort(all.begin(), all.end(), [](const auto& a, const auto& b) {
    const bool a_rest = a.first == rest, b_rest = b.first == rest;
    return a_rest != b_rest ? b_rest : a.second > b.second;
  });
  return all;
}

// "the coolant (52 %) and the metal it wets (33 %)"
std::string group_words(const Groups& all) {
  std::vector<std::string> words;
  for (const auto& [name, share] : all) {
    if (share >= least_group) words.push_back(fmt::format("{} ({})", name, percent(share)));
  }
  if (words.empty() && !all.empty()) {
    words.push_back(fmt::format("{} ({})", all.front().first, percent(all.front().second)));
  }
  return text::list(words);
}

// What a plate could do about a time constant, by what it and its neighbours own of it.
std::string plate_words(const Groups& carries) {
  constexpr double none = 0.05, little = 0.20;
  double own = 0.0;
  for (const auto& [name, share] : carries) {
    if (name == plate) own = share;
  }
  const char* so = own >= little ? "a better plate settles sooner"
                   : own >= none ? "a better plate settles a little sooner"
                   : own > -none ? "a better plate does not settle sooner"
                                 : "a better plate settles later";
  return fmt::format("Plate, paste and chip own {}: {}.", percent(own), so);
}

}  // namespace

std::string_view store_group(std::string_view name) {
  if (begins(name, "coolant in ")) return "the coolant";
  for (const char* wet : {"metal of ", "wet metal of ", "wall of ", "body of ", "copper of "}) {
    if (begins(name, wet)) return "the metal it wets";
  }
  if (begins(name, "dies") || begins(name, "spreader")) return "the chip";
  if (begins(name, "frame of ")) return "the frame";
  if (begins(name, "board") || begins(name, "surroundings")) return "board and surroundings";
  return rest;
}

std::string_view carry_group(std::string_view name) {
  if (begins(name, "fins of ") || name == "air flow") return "fins and air flow";
  if (begins(name, "tubes of ") || name == "coolant flow") return "tubes and coolant flow";
  if (begins(name, "film of ") || ends(name, ", paste and base")) return plate;
  if (begins(name, "leakage")) return "leakage";
  if (begins(name, "frame")) return "the frame";
  if (begins(name, "surroundings") || begins(name, "walls of ")) return "the surroundings";
  if (ends(name, " to air") || begins(name, "socket of ")) return "losses past the radiator";
  return rest;
}

std::string store_words(const SlowMode& mode) { return named(mode.stores, 1.0); }
std::string carry_words(const SlowMode& mode) { return named(mode.carries, -1.0); }

std::string owner_sentences(const SlowMode& mode) {
  if (mode.stores.empty() || mode.carries.empty()) return {};
  const Groups carries = groups(mode.carries, carry_group, -1.0);
  return fmt::format("Heat leaves {} through {}. {}",
                     group_words(groups(mode.stores, store_group, 1.0)), group_words(carries),
                     plate_words(carries));
}

}  // namespace libloop::report
