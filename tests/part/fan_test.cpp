// A fan whose outlet head is recovered in part: its drop rises wherever `rising` says so and
// grows without bound in both directions, for any values; the notes of fans at the edge.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <string>
#include <vector>

#include "libloop/part/catalogue.hpp"
#include "libloop/part/fan_element.hpp"
#include "libloop/quantity/range.hpp"
#include "support/element.hpp"

namespace libloop {
namespace {

constexpr double kelvin = 300.0;

// A fan before a core with its values as `prepare` takes them.
class Blown {
 public:
  explicit Blown(double size = 0.12) : element_{&fan_, &conditions_, size, true} {}
  Sheet& fan() { return fan_; }
  Sheet& conditions() { return conditions_; }

  void prepare() {
    take([](const Row&, const Range& range) { return range.typical; });
  }
  void draw(std::mt19937_64& random) {
    std::normal_distribution<double> normal;
    take([&](const Row& row, const Range& range) {
      const double z = std::max(-3.5, std::min(3.5, normal(random)));
      return range.exact() ? range.typical : Spread(range, row.transform, row.min, row.max).at(z);
    });
  }

  bool rising() const { return element_.rising(p_); }
  // Over the shut-off pressure in air of this density, at a share of the free flow.
  Gradient drop(double y) const {
    const double density = fluid::air_density(kelvin, p_.air_pressure);
    const Gradient in[] = {Gradient::variable(y * p_.free_flow * density, 0), Gradient(kelvin)};
    Gradient out[3];
    element_.evaluate<double, Gradient>(p_, in, out);
    return out[0] * (rated_air_density / (density * p_.pressure));
  }
  double resistance() const { return p_.curve.resistance; }
  double speed() const { return p_.speed; }
  std::vector<Note> notes(double y) const {
    const double in[] = {y * p_.free_flow * 1.2, kelvin};
    Notes notes;
    element_.notes(p_, in, notes);
    return notes.all();
  }

 private:
  template <class Value>
  void take(const Value& value) {
    std::vector<double> q;
    for (const Sheet* sheet : {&fan_, &conditions_}) {
      for (const std::size_t row : sheet->continuous()) {
        q.push_back(value(sheet->table().rows[row], sheet->entry(row).range));
      }
    }
    p_ = element_.prepare<double>(q.data());
  }

  Sheet fan_{table_of("fan"), "x"};
  Sheet conditions_{conditions_table()};
  FanElement element_;
  FanElement::Prepared<double> p_;
};

// Checks one fan over all flows; tells whether it was said to rise.
bool check_drop(const Blown& fan) {
  const bool said = fan.rising();
  double least = 1.0, before = fan.drop(-5.0).value;
  for (double y = -5.0; y<50.0; y += y> - 0.1 && y < 2.0 ? 0.002 : 0.1) {
    const Gradient here = fan.drop(y);
    least = std::min(least, here.slope[0]);
    if (!said && y > -5.0) {
      CAPTURE(y);
      CHECK(here.value > before);
    }
    before = here.value;
  }
  // Beyond the last digits of the slope at the bound, `rising` says neither too much nor too
  // little.
  if (!said) CHECK(least > 0.0);
  if (said) CHECK(least < 1e-3 * std::abs(fan.drop(0.0).slope[0]));
  constexpr double far = 1e4;
  CHECK(fan.drop(far).value > 0.5 * fan.resistance() * far * far);
  CHECK(fan.drop(-far).value < -0.5 * fan.resistance() * far * far);
  return said;
}

}  // namespace

TEST_CASE("a fan's drop rises where it is said to, for any values") {
  std::mt19937_64 random(7);
  int rising = 0;
  constexpr int draws = 300;
  for (int i = 0; i < draws; ++i) {
    Blown fan(i % 2 == 0 ? 0.12 : 0.092);
    fan.conditions().set("fan", i % 3 == 0 ? "0.3" : "1");
    fan.draw(random);
    CAPTURE(i);
    if (check_drop(fan)) ++rising;
  }
  CHECK(rising > 0);
  CHECK(rising < draws / 2);
}

TEST_CASE("so it does at the corners of the ranges") {
  for (int corner = 0; corner < 256; ++corner) {
    const auto pick = [&](int bit, const char* low, const char* high) {
      return (corner >> bit & 1) != 0 ? high : low;
    };
    Blown fan((corner & 1) != 0 ? 0.12 : 0.092);
    fan.fan().set("free_flow", pick(1, "75 m3/h", "145 m3/h"));
    fan.fan().set("static_pressure", pick(2, "14 Pa", "36 Pa"));
    fan.fan().set("dynamic_recovery", pick(3, "0.05", "0.5"));
    fan.fan().set("stopped_loss", pick(4, "0.3", "1.5"));
    fan.fan().set("curve_shape", pick(5, "0.5", "1"));
    fan.fan().set("stall_dip", pick(6, "0.01", "0.08"));
    fan.conditions().set("fan", pick(7, "0.1", "1"));
    fan.prepare();
    CAPTURE(corner);
    check_drop(fan);
  }
}

TEST_CASE("a measured curve with what is recovered") {
  for (const char* recovery : {"0.001", "0.05", "0.25", "0.5", "0.99"}) {
    for (const double end : {0.0, 3.0}) {
      Blown fan;
      fan.fan().set_curve("curve", {{0.0, 22.0}, {0.01, 16.0}, {0.016, 15.0}, {0.03, end}});
      fan.fan().set("dynamic_recovery", recovery);
      fan.prepare();
      CAPTURE(recovery);
      check_drop(fan);
    }
  }
}

TEST_CASE("the depths of dip from which a fan before a core rises") {
  // Those that docs/theory/fans-and-pumps.md names.
  const auto rises = [](const char* flow, const char* pressure, const char* recovery, double dip) {
    Blown fan;
    fan.fan().set("free_flow", flow);
    fan.fan().set("static_pressure", pressure);
    fan.fan().set("dynamic_recovery", recovery);
    fan.fan().set("stall_dip", std::to_string(dip));
    fan.prepare();
    return fan.rising();
  };
  const auto turns_at = [&](const char* flow, const char* pressure, const char* recovery,
                            double deepest) {
    CAPTURE(recovery);
    CHECK_FALSE(rises(flow, pressure, recovery, deepest - 0.001));
    CHECK(rises(flow, pressure, recovery, deepest + 0.001));
  };
  turns_at("105 m3/h", "22 Pa", "0.001", 0.088);
  turns_at("105 m3/h", "22 Pa", "0.25", 0.079);
  turns_at("145 m3/h", "14 Pa", "0.25", 0.061);
  turns_at("145 m3/h", "14 Pa", "0.5", 0.034);
}

TEST_CASE("what is recovered is smooth at free flow, beyond it and at rest") {
  for (const char* speed : {"1", "0.4"}) {
    Sheet fan(table_of("fan"), "x"), conditions(conditions_table());
    conditions.set("fan", speed);
    const testing::Alone<FanElement> alone({&fan, &conditions, 0.12, true}, {&fan, &conditions}, 3);
    for (const double flow : {-0.02, 0.01, 0.02, 0.03, 0.05, 0.5}) {
      CHECK(alone.worst_slope({flow, kelvin}) < 1e-6);
    }
  }
  for (const char* speed : {"1", "0.3"}) {
    Blown fan;
    fan.conditions().set("fan", speed);
    fan.prepare();
    const Gradient short_of = fan.drop(fan.speed() - 1e-9), beyond = fan.drop(fan.speed() + 1e-9);
    CHECK(short_of.value == doctest::Approx(beyond.value).epsilon(1e-6));
    CHECK(short_of.slope[0] == doctest::Approx(beyond.slope[0]).epsilon(1e-6));
  }
  // A fan that stands still recovers nothing, and is finite about it.
  for (const double y : {-1.0, -1e-13, 0.0, 1e-13, 0.5, 2.0}) {
    Sheet sheet(table_of("fan"), "x"), conditions(conditions_table());
    std::vector<Gradient> q;
    conditions.set("fan", "0");
    for (const Sheet* of : {&sheet, &conditions}) {
      for (const std::size_t row : of->continuous()) {
        q.push_back(Gradient::variable(of->entry(row).range.typical, q.size() % 8));
      }
    }
    const FanElement element{&sheet, &conditions, 0.12, true};
    const auto p = element.prepare<Gradient>(q.data());
    const double in[] = {y * 0.035, kelvin};
    Gradient out[3];
    element.evaluate<Gradient, double>(p, in, out);
    for (const double slope : out[0].slope) CHECK(std::isfinite(slope));
    CHECK(out[0].value ==
          doctest::Approx(p.curve.resistance.value * p.pressure.value * y * std::abs(y) * 0.035 *
                          0.035 / (p.free_flow.value * p.free_flow.value) /
                          (rated_air_density * fluid::air_density(kelvin, 101325.0)))
              .epsilon(1e-3));
  }
}

TEST_CASE("a fan that recovers more than its pressure bears, and one that looks past the core") {
  Blown usual, odd;
  odd.fan().set("free_flow", "145 m3/h");
  odd.fan().set("static_pressure", "14 Pa");
  odd.fan().set("dynamic_recovery", "0.5");
  usual.prepare();
  odd.prepare();
  CHECK(usual.notes(0.5).empty());
  REQUIRE(odd.notes(0.5).size() == 1);
  CHECK(odd.notes(0.5)[0].code == "fan_recovery");
  CHECK(odd.notes(0.5)[0].part == "fan.x");

  const auto notes_of = [](double overhang) {
    const Leak leak{nullptr, nullptr, 0.0, overhang, 0.14, "fan.x.2"};
    Notes notes;
    leak.notes({}, nullptr, notes);
    return notes.all();
  };
  CHECK(notes_of(0.0).empty());
  REQUIRE(notes_of(0.14 * 0.02).size() == 1);
  const Note past = notes_of(0.14 * 0.02)[0];
  CHECK(past.code == "fan_past_core");
  CHECK(past.kind == Note::Kind::state);
  CHECK(past.part == "fan.x.2");
  CHECK(past.text ==
        "fan.x.2 looks past the core with 14 % of its area: without a shroud that air "
        "cools nothing");
}

}  // namespace libloop
