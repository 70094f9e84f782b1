#include "libloop/part/core_zone.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "libloop/quantity/table.hpp"

using namespace libloop;

namespace {

// A zone with typical quantities, and one's own inputs.
class Bed {
 public:
  Bed(const std::string& arrangement, int cells, double recirculation = 0.02) {
    radiator_.set("class", "240");
    radiator_.set("pass_arrangement", arrangement);
    radiator_.set("recirculation", Range{recirculation, recirculation, recirculation});
    zone_.radiator = &radiator_;
    zone_.coolant = &coolant_;
    zone_.laws = &laws_;
    zone_.conditions = &conditions_;
    zone_.length_share = 0.5;
    zone_.cells = cells;
  }

  CoreZone& zone() { return zone_; }
  const Sheet& shroud() const { return shroud_; }

  std::vector<double> quantities() const {
    std::vector<double> q;
    for (const Sheet* sheet : {&radiator_, &coolant_, &laws_, &conditions_}) append(q, *sheet);
    if (zone_.shroud != nullptr) append(q, *zone_.shroud);
    return q;
  }

  template <class X>
  std::vector<X> evaluate(const std::vector<X>& in) const {
    std::vector<X> out(static_cast<std::size_t>(outputs()), X(0.0));
    const std::vector<double> q = quantities();
    zone_.evaluate(zone_.prepare(q.data()), in.data(), out.data());
    return out;
  }

  int outputs() const { return 4 + 6 * zone_.cells + 9; }

 private:
  static void append(std::vector<double>& q, const Sheet& sheet) {
    for (const std::size_t row : sheet.continuous()) q.push_back(sheet.entry(row).range.typical);
  }

  Table radiator_table_ = make_table<Radiator<double>>("radiator");
  Table coolant_table_ = make_table<Coolant<double>>("coolant");
  Table laws_table_ = make_table<Laws<double>>("law");
  Table conditions_table_ = make_table<Conditions<double>>("conditions");
  Table shroud_table_ = make_table<Shroud<double>>("shroud");
  Sheet radiator_{radiator_table_}, coolant_{coolant_table_}, laws_{laws_table_},
      conditions_{conditions_table_}, shroud_{shroud_table_};
  CoreZone zone_;
};

constexpr int cells = 3;

// Flows of the two passes and of the air; all else as it may be. What enters the passes is read
// where they lie behind each other.
std::vector<double> inputs(double first, double second, double air) {
  return {first, second, 3800.0, air,   297.0, 312.0, 311.0,
          310.5, 308.0,  307.0,  306.5, 312.5, 308.5};
}

// The zone as seen from its other face: the passes change places, and so does the air.
std::vector<double> mirrored(const std::vector<double>& in) {
  std::vector<double> out = in;
  std::swap(out[0], out[1]);
  out[3] = -in[3];
  for (std::size_t j = 0; j < cells; ++j) std::swap(out[5 + j], out[5 + cells + j]);
  std::swap(out[5 + 2 * cells], out[6 + 2 * cells]);
  return out;
}

// Places among the outputs.
constexpr std::size_t first_heat = 4, rest = 4 + 6 * cells;
constexpr std::size_t air_drop = rest, air_outlet = rest + 1, core_heat = rest + 2,
                      mean_coolant = rest + 3, heat_out = rest + 4, entering = rest + 6,
                      volume = rest + 7;

}  // namespace

TEST_CASE("two passes behind each other are the same core seen from either face") {
  const Bed bed("behind", cells);
  for (const double flow : {0.02, -0.02}) {
    for (const double air : {0.03, 0.003, -0.01}) {
      CAPTURE(flow);
      CAPTURE(air);
      const std::vector<double> in = inputs(flow, flow, air);
      const std::vector<double> here = bed.evaluate(in), there = bed.evaluate(mirrored(in));
      for (std::size_t pass = 0; pass < 2; ++pass) {
        CHECK(there[1 - pass] == doctest::Approx(here[pass]));
        CHECK(there[2 + 1 - pass] == doctest::Approx(here[2 + pass]));
        for (std::size_t j = 0; j < cells; ++j) {
          CHECK(there[first_heat + (1 - pass) * cells + j] ==
                doctest::Approx(here[first_heat + pass * cells + j]));
        }
      }
      CHECK(there[air_drop] == doctest::Approx(-here[air_drop]));
      CHECK(there[air_outlet] == doctest::Approx(here[air_outlet]));
      CHECK(there[core_heat] == doctest::Approx(here[core_heat]));
      CHECK(there[heat_out] == doctest::Approx(here[heat_out]));
      CHECK(there[volume] == doctest::Approx(-here[volume]));
    }
  }
}

TEST_CASE("air that meets the warm pass first takes less heat") {
  const Bed bed("behind", cells);
  const double counterflow = bed.evaluate(inputs(0.02, 0.02, 0.01))[core_heat];
  const double parallel = bed.evaluate(inputs(0.02, 0.02, -0.01))[core_heat];
  CHECK(parallel < counterflow);
  CHECK(parallel > 0.8 * counterflow);
}

TEST_CASE("passes beside each other do not see which way the air goes") {
  for (const double recirculation : {0.001, 0.1}) {
    const Bed bed("beside", cells, recirculation);
    for (const double air : {1e-6, 0.003, 0.03}) {
      CAPTURE(air);
      const std::vector<double> in = inputs(0.02, -0.01, air);
      std::vector<double> back = in;
      back[3] = -air;
      const std::vector<double> forwards = bed.evaluate(in), backwards = bed.evaluate(back);
      for (std::size_t o = 0; o < forwards.size(); ++o) {
        const double sign = o == air_drop || o == volume ? -1.0 : 1.0;
        CHECK(backwards[o] == doctest::Approx(sign * forwards[o]));
      }
    }
  }
}

TEST_CASE("the air carries off the core's heat, whichever way it goes") {
  for (const char* arrangement : {"beside", "behind"}) {
    const Bed bed(arrangement, cells, 0.1);
    for (const double air : {0.03, 0.003, -0.003, -0.03}) {
      const std::vector<double> out = bed.evaluate(inputs(0.02, 0.02, air));
      CHECK(out[heat_out] == doctest::Approx(out[core_heat]));
      CHECK(out[heat_out + 1] == out[heat_out]);
      CHECK(out[air_outlet] > 297.0);
      CHECK(out[air_outlet] < 312.0);
      double into_cells = 0.0;
      for (std::size_t j = 0; j < 2 * cells; ++j) into_cells += out[first_heat + j];
      // What flows out of the last cells is theirs too; what flows in is the circuit's.
      const double stream = 0.02 * 3800.0;
      CHECK(into_cells + stream * (out[2] + out[3]) == doctest::Approx(-out[core_heat]));
    }
  }
}

// In a warm-up means stay up where coolant stands; what enters the front row does not.
TEST_CASE("coolant that stands in a core gives heat to the air and moves none along") {
  for (const char* arrangement : {"beside", "behind"}) {
    const Bed bed(arrangement, cells);
    const std::vector<double> in = inputs(0.0, 0.0, 0.02);
    const std::vector<double> out = bed.evaluate(in);
    double most = 0.0;
    for (std::size_t j = 0; j < 2 * cells; ++j) {
      CHECK(out[first_heat + j] < 0.0);
      most = std::max(most, -out[first_heat + j]);
    }
    // Outlets are temperatures of the air and coolant here: what they carry at rest is nothing.
    for (std::size_t pass = 0; pass < 2; ++pass) {
      CHECK(out[2 + pass] > 296.0);
      CHECK(out[2 + pass] < 313.0);
    }
    double into_cells = 0.0;
    for (std::size_t j = 0; j < 2 * cells; ++j) into_cells += out[first_heat + j];
    CHECK(into_cells == doctest::Approx(-out[core_heat]).epsilon(1e-3));
    CHECK(most < 0.5 * out[core_heat]);
  }
}

// As cells of a warm-up: what enters the first differs from what leaves it in the steady state.
TEST_CASE("a pass in front hands on what enters it, cell by cell") {
  const Bed bed("behind", cells);
  std::vector<double> in = inputs(0.02, 0.02, 0.02), warmer = in;
  // The second pass comes back along the first: its entrance lies before the first's exit.
  warmer[6 + 2 * cells] += 1.0;
  const std::vector<double> before = bed.evaluate(in), after = bed.evaluate(warmer);
  CHECK(after[2] > before[2]);
  CHECK(after[2] < before[2] + 0.5);
  CHECK(after[3] == before[3]);
  CHECK(after[first_heat] == before[first_heat]);
  // What enters the pass behind is the circuit's alone.
  warmer = in;
  warmer[5 + 2 * cells] += 1.0;
  CHECK(bed.evaluate(warmer) == before);
}

TEST_CASE("where air turns, all of a core is continuous and its drop rises") {
  for (const char* arrangement : {"beside", "behind"}) {
    const Bed bed(arrangement, cells);
    const std::vector<double> above = bed.evaluate(inputs(0.02, 0.02, 1e-12));
    const std::vector<double> below = bed.evaluate(inputs(0.02, 0.02, -1e-12));
    for (std::size_t o = 0; o < above.size(); ++o) {
      CHECK(below[o] == doctest::Approx(above[o]).epsilon(1e-6).scale(1.0));
    }
    double last = -1e9;
    for (double air = -0.04; air < 0.041; air += 0.002) {
      const double drop = bed.evaluate(inputs(0.02, 0.02, air))[air_drop];
      CHECK(drop > last);
      last = drop;
    }
    std::vector<Gradient> still;
    for (const double value : inputs(0.02, 0.02, 0.0)) still.emplace_back(value);
    still[3] = Gradient::variable(0.0, 0);
    const std::vector<Gradient> at_rest = bed.evaluate(still);
    CHECK(at_rest[air_drop].slope[0] > 0.0);
    for (const Gradient& value : at_rest) CHECK(std::isfinite(value.slope[0]));
  }
}

TEST_CASE("slopes of a core hold for air in both directions") {
  for (const char* arrangement : {"beside", "behind"}) {
    const Bed bed(arrangement, cells);
    for (const double air : {0.02, -0.02}) {
      const std::vector<double> in = inputs(0.02, 0.02, air);
      for (std::size_t i = 0; i < in.size(); ++i) {
        std::vector<Gradient> dual(in.begin(), in.end());
        dual[i] = Gradient::variable(in[i], 3);
        const std::vector<Gradient> exact = bed.evaluate(dual);
        const double h = 1e-6 * std::abs(in[i]);
        std::vector<double> up = in, down = in;
        up[i] += h;
        down[i] -= h;
        const std::vector<double> high = bed.evaluate(up), low = bed.evaluate(down);
        for (std::size_t o = 0; o < exact.size(); ++o) {
          const double difference = (high[o] - low[o]) / (2.0 * h);
          const double scale = std::abs(exact[o].value) / std::abs(in[i]);
          CHECK(exact[o].slope[3] ==
                doctest::Approx(difference).epsilon(1e-5).scale(1.0 + 0.1 * scale));
        }
      }
    }
  }
}

TEST_CASE("a core tells its entering air and its volume flow") {
  const Bed bed("beside", cells);
  const std::vector<double> out = bed.evaluate(inputs(0.02, 0.02, -0.012));
  CHECK(out[mean_coolant] ==
        doctest::Approx(0.5 * (312.0 + 311.0 + 310.5 + 308.0 + 307.0 + 306.5) / 6.0));
  CHECK(out[entering] == doctest::Approx(0.012 * 297.0));
  CHECK(out[volume + 1] == doctest::Approx(0.012));
  CHECK(out[volume] == doctest::Approx(-0.012 / fluid::air_density(297.0, 101325.0)).epsilon(1e-3));
}

TEST_CASE("a shroud undoes part of the shadow of the hubs") {
  Bed bed("beside", cells);
  const double bare = bed.evaluate(inputs(0.02, 0.02, 0.02))[air_drop];
  bed.zone().shroud = &bed.shroud();
  std::vector<double> q = bed.quantities();
  const auto free_area = [&](double relief) {
    q.back() = relief;
    return bed.zone().prepare(q.data()).free_area;
  };
  CHECK(bed.evaluate(inputs(0.02, 0.02, 0.02))[air_drop] < bare);
  const double open = free_area(1.0), none = free_area(0.0), half = free_area(0.5);
  CHECK(half == doctest::Approx(0.5 * (open + none)));
  bed.zone().shroud = nullptr;
  CHECK(none == doctest::Approx(bed.zone().prepare(q.data()).free_area));
  CHECK(open == doctest::Approx(bed.zone().prepare(q.data()).face_area * none /
                                (0.92 * bed.zone().prepare(q.data()).face_area)));
}
