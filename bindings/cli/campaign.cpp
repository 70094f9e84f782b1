#include "bindings/cli/campaign.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "bindings/cli/call.hpp"
#include "bindings/cli/overrides.hpp"
#include "bindings/cli/patience.hpp"
#include "libloop/evidence/expected.hpp"
#include "libloop/files/read_measured.hpp"
#include "libloop/model/model.hpp"

namespace libloop::cli {
namespace {

// Shares of rated speed at which a cooler file is predicted; judgement: what fans are run at.
constexpr double speeds[] = {0.4, 0.6, 0.8, 1.0};
constexpr std::size_t most_loads = 12;  // of a cooler file; a prediction takes its time

bool is_cooler_file(const std::string& path) {
  constexpr std::string_view end = ".toml";
  return path.size() > end.size() && path.compare(path.size() - end.size(), end.size(), end) == 0;
}

template <class T>
void append(std::vector<T>& all, const std::vector<T>& more) {
  all.insert(all.end(), more.begin(), more.end());
}

void add_table(Campaign& campaign, const std::string& path, const ReadingChoice& choice) {
  const MeasuredTable table = read_measured(path, choice);
  campaign.tables.push_back({table.file, table.rows_read, table.left_out, table.decisions});
  MeasuredTable& all = campaign.all;
  all.file += (all.file.empty() ? "" : ", ") + table.file;
  append(all.points, table.points);
  append(all.prices, table.prices);
  append(all.left_out, table.left_out);
  append(all.decisions, table.decisions);
  all.rows_read += table.rows_read;
}

// At most so many, spread evenly over all.
std::vector<double> loads_of(const MeasuredTable& table, std::optional<double> load) {
  if (load) return {*load};
  std::set<double> seen;
  for (const MeasuredPoint& point : table.points) seen.insert(point.load);
  const std::vector<double> all(seen.begin(), seen.end());
  if (all.empty()) {
    fail_call("--load is required", "Only with a measured table it can be left out.");
  }
  if (all.size() <= most_loads) return all;
  std::vector<double> some;
  for (std::size_t i = 0; i < most_loads; ++i) {
    some.push_back(all[i * (all.size() - 1) / (most_loads - 1)]);
  }
  return some;
}

void add_prediction(Campaign& campaign, const std::string& path, const Bench& bench,
                    const std::vector<double>& loads) {
  Cooler cooler = cooler_named(path);
  const std::vector<std::string> known = titles_of(campaign.all);
  if (std::find(known.begin(), known.end(), cooler.title) != known.end()) {
    cooler.title += " (predicted)";
  }
  std::vector<Duty> duties;
  for (const double load : loads) {
    for (const double speed : speeds) duties.push_back({.load = load, .fan = speed});
  }
  const Patience patience("predicting");
  const Expected expected = expected_points(Model(cooler, bench), duties);
  append(campaign.all.points, expected.points);
  append(campaign.all.left_out, expected.left_out);
  campaign.tables.push_back({path,
                             static_cast<long long>(duties.size()),
                             expected.left_out,
                             {fmt::format("{} is predicted, on {}.", cooler.title,
                                          bench.title.empty() ? "the bench" : bench.title)}});
  campaign.predicts = true;
}

}  // namespace

Campaign campaign_of(const std::vector<std::string>& files, const ReadingChoice& choice,
                     const Bench& bench, std::optional<double> load) {
  Campaign campaign;
  for (const std::string& path : files) {
    if (!is_cooler_file(path)) add_table(campaign, path, choice);
  }
  const bool predicts = std::any_of(files.begin(), files.end(), is_cooler_file);
  if (!predicts) return campaign;
  const std::vector<double> loads = loads_of(campaign.all, load);
  for (const std::string& path : files) {
    if (is_cooler_file(path)) add_prediction(campaign, path, bench, loads);
  }
  return campaign;
}

std::vector<std::string> titles_of(const MeasuredTable& table) {
  std::set<std::string> seen;
  std::vector<std::string> titles;
  for (const MeasuredPoint& point : table.points) {
    if (seen.insert(point.cooler).second) titles.push_back(point.cooler);
  }
  return titles;
}

}  // namespace libloop::cli
