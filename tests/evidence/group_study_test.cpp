// Simulated tables of which the truth is known: how often coolers that differ little stand
// together, and coolers that differ much stand apart. Every number of the set-up is invented.
#include <doctest/doctest.h>

#include <cmath>
#include <map>
#include <random>
#include <string>
#include <vector>

#include "evidence/cooler_maker.hpp"
#include "libloop/evidence/ranking.hpp"

namespace libloop {
namespace {

using testing::ClosedCooler;

constexpr int tables = 300, coolers = 12, mounts = 3;
constexpr double mount_scatter = 0.02, point_scatter = 0.3;  // relative; K
constexpr double load = 180;

struct Truth {
  MeasuredTable table;
  std::map<std::string, double> rise;
};

// Twelve coolers over 16 K at full speed, at random: some nearly alike, some far apart.
Truth simulate(std::mt19937_64& random) {
  std::normal_distribution<double> normal;
  std::uniform_real_distribution<double> uniform;
  Truth truth;
  for (int i = 0; i < coolers; ++i) {
    ClosedCooler cooler;
    cooler.title = "Invented " + std::to_string(i);
    cooler.a = 0.15 + 0.09 * uniform(random);
    cooler.b = 0.03 + 0.02 * uniform(random);
    cooler.c = 1e-4 * uniform(random);
    truth.rise[cooler.title] = cooler.rise(1.0, load);
    for (int mount = 1; mount <= mounts; ++mount) {
      const double seat = 1.0 + mount_scatter * normal(random);
      for (const double at : {90.0, 180.0, 250.0}) {
        for (const double share : {0.4, 0.6, 0.8, 1.0}) {
          MeasuredPoint point = testing::point(cooler, share, at, mount);
          point.rise = point.rise * seat + point_scatter * normal(random);
          point.u = point_scatter;
          truth.table.points.push_back(std::move(point));
        }
      }
    }
  }
  return truth;
}

struct Rate {
  long together = 0, all = 0;
  void count(bool one) {
    together += one;
    ++all;
  }
  double share() const {
    return all > 0 ? static_cast<double>(together) / static_cast<double>(all) : 0.0;
  }
};

// Pairs by how far they truly differ, in units of the noise; by runs, by group numbers, and pairs
// with the best cooler of the table only.
struct Study {
  double noise;  // in standard uncertainties of the difference
  Rate near_runs{}, near_groups{}, near_best{}, far_runs{}, far_groups{}, far_best{};
};

void count(Study& study, const Ranking& ranking, const Truth& truth) {
  const auto share_run = [&](std::size_t i, std::size_t j) {
    for (const Alike& run : ranking.alike) {
      if (run.first <= i && j <= run.last) return true;
    }
    return false;
  };
  for (std::size_t i = 0; i < ranking.rows.size(); ++i) {
    for (std::size_t j = i + 1; j < ranking.rows.size(); ++j) {
      const RankedCooler &a = ranking.rows[i], &b = ranking.rows[j];
      const double true_difference = std::abs(truth.rise.at(a.title) - truth.rise.at(b.title));
      const double noise = study.noise * std::hypot(a.value.u_own, b.value.u_own);
      const bool near = true_difference<noise, far = true_difference> 3.0 * noise;
      if (!near && !far) continue;
      const bool grouped = a.group == b.group;
      (near ? study.near_runs : study.far_runs).count(share_run(i, j));
      (near ? study.near_groups : study.far_groups).count(grouped);
      if (i == 0) (near ? study.near_best : study.far_best).count(grouped);
    }
  }
}

void tell(const Study& study) {
  MESSAGE("noise = ", study.noise, " u: within it ", study.near_runs.all, " pairs, of one run ",
          study.near_runs.share(), ", one group ", study.near_groups.share(), ", with the best ",
          study.near_best.share(), "; beyond three times ", study.far_runs.all, " pairs, apart ",
          1 - study.far_runs.share(), ", by group ", 1 - study.far_groups.share(),
          ", from the best ", 1 - study.far_best.share());
}

}  // namespace

// Noise here is 1.645 standard uncertainties of the difference: what nine repeats of ten stay
// within (the 5-95 % interval).
TEST_CASE("group study: alike stay together, different ones are told apart") {
  std::mt19937_64 random(20240617);
  Study noise{.noise = 1.645}, one_sigma{.noise = 1.0};
  double scatter = 0.0, spread = 0.0, said = 0.0;
  long values = 0;
  for (int i = 0; i < tables; ++i) {
    const Truth truth = simulate(random);
    const Ranking ranking = rank(truth.table, testing::usual_meters(), {.load = load});
    REQUIRE(ranking.rows.size() == coolers);
    count(noise, ranking, truth);
    count(one_sigma, ranking, truth);
    scatter += ranking.mount_scatter / tables;
    for (const RankedCooler& row : ranking.rows) {
      spread += std::pow(row.value.value - truth.rise.at(row.title), 2);
      said += row.value.u_own * row.value.u_own;
      ++values;
    }
  }
  tell(noise);
  tell(one_sigma);
  MESSAGE("scatter of mountings ", scatter, ", errors over what is said ",
          std::sqrt(spread / said));
  CHECK(noise.near_runs.all > 1000);
  CHECK(noise.far_runs.all > 1000);
  CHECK(noise.near_runs.share() >= 0.90);
  CHECK(noise.near_best.share() >= 0.90);
  CHECK(1 - noise.far_runs.share() >= 0.90);
  CHECK(1 - noise.far_groups.share() >= 0.90);
  CHECK(1 - noise.far_best.share() >= 0.90);
  CHECK(scatter == doctest::Approx(mount_scatter).epsilon(0.05));
  CHECK(std::sqrt(spread / said) == doctest::Approx(1.0).epsilon(0.05));
  CHECK(values == tables * coolers);
}

}  // namespace libloop
