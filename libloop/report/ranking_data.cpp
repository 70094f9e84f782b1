#include "libloop/quantity/unit.hpp"
#include "libloop/report/how_read.hpp"
#include "libloop/report/json_parts.hpp"
#include "libloop/report/ranking.hpp"
#include "libloop/report/ranking_words.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

Json number(const std::optional<double>& value) { return value ? number_or_null(*value) : Json(); }

Json in_rpm(const std::optional<double>& speed) {
  return speed ? number_or_null(to_unit(*speed, "rpm")) : Json();
}

// Ends of the interval. What is at least so much has no upper one, what is at most so much no
// lower one.
enum class Bounds { at_least, at_most };
std::optional<double> low_end(const Valued& value, Bounds kind) {
  if (value.bound && kind == Bounds::at_most) return std::nullopt;
  return own_interval(value).p05;
}
std::optional<double> high_end(const Valued& value, Bounds kind) {
  if (value.bound && kind == Bounds::at_least) return std::nullopt;
  return own_interval(value).p95;
}

Json json_value(const std::optional<Valued>& value, Bounds kind) {
  if (!value) return {};
  return {{"p05", number(low_end(*value, kind))},
          {"p50", number_or_null(value->value)},
          {"p95", number(high_end(*value, kind))},
          {"u_own", number_or_null(value->u_own)},
          {"u_bench", number_or_null(value->u_bench)},
          {"bound", value->bound},
          {"beyond", value->beyond}};
}

// What ranks stands in its place even where the row does not repeat it.
std::optional<Valued> rise_of(const RankedCooler& cooler, bool noise) {
  return cooler.rise || noise ? cooler.rise : cooler.value;
}
std::optional<Valued> level_of(const RankedCooler& cooler, bool noise) {
  return cooler.level || !noise ? cooler.level : cooler.value;
}

Json json_rows(const Ranking& ranking) {
  const bool noise = by_noise(ranking);
  Json list = Json::array();
  for (std::size_t i = 0; i < ranking.rows.size(); ++i) {
    const RankedCooler& cooler = ranking.rows[i];
    list.push_back({{"rank", i + 1},
                    {"group", cooler.group},
                    {"like_ranks", like_ranks(ranking, i)},
                    {"title", cooler.title},
                    {"short_name", cooler.short_name},
                    {"rise_K", json_value(rise_of(cooler, noise), Bounds::at_least)},
                    {"noise_dBA", json_value(level_of(cooler, noise), Bounds::at_most)},
                    {"fan_fraction", number(cooler.fan_share)},
                    {"fan_speed_rpm", in_rpm(cooler.fan_speed)},
                    {"points", cooler.points},
                    {"mounts", cooler.mounts},
                    {"price", cooler.price},
                    {"K_per_unit_of_price", number(cooler.kelvin_per_price)},
                    {"predicted", cooler.predicted},
                    {"settled", !cooler.unsettled},
                    {"notes", cooler.notes}});
  }
  return list;
}

Json json_condition(const Condition& condition) {
  return {{"load_W", number_or_null(condition.load)},
          {"fan_fraction", number(condition.fan_share)},
          {"fan_speed_rpm", in_rpm(condition.fan_speed)},
          {"noise_dBA", number(condition.level)},
          {"rise_K", number(condition.rise)}};
}

Json json_ties(const Ranking& ranking) {
  const char* difference = by_noise(ranking) ? "difference_dB" : "difference_K";
  const char* u = by_noise(ranking) ? "u_dB" : "u_K";
  Json list = Json::array();
  for (const Tie& tie : ranking.ties) {
    list.push_back({{"better", tie.better},
                    {"worse", tie.worse},
                    {difference, number_or_null(tie.difference)},
                    {u, number_or_null(tie.u)},
                    {"apart", tie.apart},
                    {"mounts_needed", tie.mounts_needed ? Json(*tie.mounts_needed) : Json()}});
  }
  return list;
}

Json json_states(const Ranking& ranking) {
  Json list = Json::array();
  for (const BenchState& state : ranking.states) {
    list.push_back({{"date", state.date},
                    {"factor", number_or_null(state.factor)},
                    {"u", number_or_null(state.u)},
                    {"points", state.points}});
  }
  return list;
}

Json json_equal_noise(const ToldRanking& told) {
  const Ranking* at = told.equal_noise ? &*told.equal_noise : nullptr;
  if (told.ranking.condition.level) at = &told.ranking;
  if (at == nullptr) return {};
  return {{"noise_dBA", number(at->condition.level)}, {"ranking", json_rows(*at)}};
}

std::string cell(const std::optional<double>& value) { return value ? exact(settled(*value)) : ""; }

void add_value(std::vector<std::string>& cells, const std::optional<Valued>& value, Bounds kind) {
  if (!value) {
    cells.insert(cells.end(), 6, "");
    return;
  }
  for (const std::optional<double>& one :
       {std::optional(value->value), low_end(*value, kind), high_end(*value, kind),
        std::optional(value->u_own), std::optional(value->u_bench)}) {
    cells.push_back(cell(one));
  }
  cells.push_back(value->bound ? "yes" : "no");
}

}  // namespace

std::string json(const ToldRanking& told) {
  const Ranking& ranking = told.ranking;
  Json json = json_head();
  json["condition"] = json_condition(ranking.condition);
  json["ranked_by"] = by_noise(ranking) ? "noise_dBA" : "rise_K";
  json["ranking"] = json_rows(ranking);
  json["ties"] = json_ties(ranking);
  json["equal_noise"] = json_equal_noise(told);
  json["bench_states"] = json_states(ranking);
  json["mount_scatter_fraction"] = number_or_null(ranking.mount_scatter);
  json["mount_freedom"] = number_or_null(ranking.mount_freedom);
  json["notes"] = ranking.notes;
  const std::vector<HowRead> files = files_of(told);
  Json left_out = json_left_out(files);
  for (const LeftOut& cooler : ranking.left_out) {
    left_out.push_back({{"file", Json()},
                        {"what", "coolers"},
                        {"count", cooler.count},
                        {"reason", cooler.reason}});
  }
  json["left_out"] = std::move(left_out);
  json["decisions"] = json_decisions(files);
  return json_text(json);
}

std::string csv(const ToldRanking& told) {
  const Ranking& ranking = told.ranking;
  const bool noise = by_noise(ranking);
  std::string out = csv_line({"rank",         "group",         "cooler",
                              "rise_K",       "rise_p05_K",    "rise_p95_K",
                              "u_own_K",      "u_bench_K",     "rise_is_bound",
                              "noise_dBA",    "noise_p05_dBA", "noise_p95_dBA",
                              "u_own_dB",     "u_bench_dB",    "noise_is_bound",
                              "fan_fraction", "fan_speed_rpm", "points",
                              "mounts",       "price",         "K_per_unit_of_price",
                              "predicted"});
  for (std::size_t i = 0; i < ranking.rows.size(); ++i) {
    const RankedCooler& cooler = ranking.rows[i];
    std::vector<std::string> cells = {std::to_string(i + 1), std::to_string(cooler.group),
                                      cooler.title};
    add_value(cells, rise_of(cooler, noise), Bounds::at_least);
    add_value(cells, level_of(cooler, noise), Bounds::at_most);
    cells.push_back(cell(cooler.fan_share));
    cells.push_back(cooler.fan_speed ? cell(to_unit(*cooler.fan_speed, "rpm")) : "");
    cells.push_back(std::to_string(cooler.points));
    cells.push_back(std::to_string(cooler.mounts));
    cells.push_back(cooler.price);
    cells.push_back(cell(cooler.kelvin_per_price));
    cells.push_back(cooler.predicted ? "yes" : "no");
    out += csv_line(cells);
  }
  return out;
}

}  // namespace libloop::report
