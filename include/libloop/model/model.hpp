// A cooler on a bench as a thermal-hydraulic network, ready to be solved.
//
// You need this header when you want operating points of your own choice of quantities.
// For a prediction with its interval, see model/predict.hpp.
//
//   libloop::Model model(cooler, bench);
//   libloop::Solver solver(model);
//   libloop::OperatingPoint point = solver.solve({.load = 180});
//
// A Model never changes and may be shared among threads; each thread needs a Solver of
// its own. Everything is in SI units.
#pragma once

#include <array>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "libloop/model/answer.hpp"
#include "libloop/model/cooler.hpp"
#include "libloop/network/note.hpp"
#include "libloop/network/solve.hpp"

namespace libloop {

// What the tester sets.
struct Duty {
  double load = 100.0;      // W, as the bench reads it
  double ambient = 298.15;  // K, at the intake
  double altitude = 0.0;    // m
  double fan = 1.0;         // speed over rated speed
  double pump = 1.0;        // speed over rated speed
};

// One continuous quantity of a model.
struct Quantity {
  std::string name;    // "radiator.fin_density", "fan.speed_factor.2"
  std::string base;    // the same without the copy: "fan.speed_factor"
  const Row* row;      // unit, bounds, kind, scope, source, meaning
  Range range;         // SI
  bool given = false;  // by a file or --set
};

// One chip under its plate.
struct ChipPoint {
  std::string name;                                 // "chip", "chip.graphics"
  double load = 0.0;                                // W, given off
  double rise = 0.0;                                // K, as the sensors see it
  double coolant_flow = 0.0;                        // m3/s, through its plate
  std::array<double, budget_rows.size()> budget{};  // K; sums to the rise
  std::vector<double> hottest;                      // K over ambient, of every die
  double temperature = 0.0;                         // K, true, hottest point of any die
  double limit = 0.0;                               // K
};

// One radiator in its air.
struct RadiatorPoint {
  std::string name;
  double heat = 0.0;          // W, from core to air
  double intake = 0.0;        // K, air that enters it, over ambient
  double coolant_rise = 0.0;  // K, its mean coolant over that air
  double conductance = 0.0;   // W/K, heat over coolant rise
  double air_flow = 0.0;      // m3/s
};

// One part that coolant or air passes.
struct PartPoint {
  std::string name;
  bool air = false;
  std::string from, to;                  // places
  double flow = 0.0;                     // kg/s, from -> to
  double volume_flow = 0.0;              // m3/s, of the fluid as it enters
  double drop = 0.0;                     // Pa, from -> to
  double pressure = 0.0;                 // Pa, at `from`, over the first place of its stream
  double entering = 0.0, leaving = 0.0;  // K, in the direction of the flow
};

struct OperatingPoint {
  network::Summary summary;
  std::array<double, answer_count> answer{};        // SI; noise in dB
  std::array<double, budget_rows.size()> budget{};  // K, of the first chip; sums to the rise
  std::vector<double> hottest;                      // K over ambient, of its dies
  double coolant_warming = 0.0;                     // K, hot less cold tanks
  double chip_temperature = 0.0;                    // K, of the first chip
  double margin = 0.0;                              // K, least distance of a chip to its limit
  double load = 0.0;                                // W, of all chips
  double heat_in = 0.0, heat_out = 0.0;             // W
  double energy_residual = 0.0;                     // |in - out| over max(load, 1 W)
  double leakage_gain = 0.0;                        // at 1 a chip runs away
  double air_share = 0.0;                           // air flow over the fans' free flow
  // Every chip and radiator, the first of each first.
  std::vector<ChipPoint> chips;
  std::vector<RadiatorPoint> radiators;
  std::vector<PartPoint> parts;  // not in resolve()
  std::vector<Note> notes;       // not in resolve()

  double operator[](Answer a) const { return answer[static_cast<std::size_t>(a)]; }
};

class Model {
 public:
  // `cells` is the number of cells along every hose, plate and core zone; the steady
  // answer does not depend on it. Throws InputError when the parts do not fit together.
  Model(const Cooler& cooler, const Bench& bench, int cells = 1);

  const std::vector<Quantity>& quantities() const;
  // Index of a quantity by name; throws InputError with a near miss.
  std::size_t index(std::string_view name) const;
  // Typical values of all quantities, SI, with the duty in its place.
  std::vector<double> typical(const Duty& duty) const;
  void set_duty(const Duty& duty, std::vector<double>& values) const;

  const Cooler& cooler() const;
  const Bench& bench() const;

  struct Setup;

 private:
  friend class Solver;
  friend class Warmup;
  std::shared_ptr<const Setup> setup_;
};

// Slopes of the answers by all quantities, SI.
struct Slopes {
  std::size_t quantities = 0;
  std::vector<double> values;  // answer_count x quantities
  double at(Answer a, std::size_t quantity) const {
    return values[static_cast<std::size_t>(a) * quantities + quantity];
  }
};

class Solver {
 public:
  explicit Solver(const Model& model);
  Solver(Solver&&) noexcept;
  Solver& operator=(Solver&&) noexcept;
  ~Solver();

  // The operating point with notes, from a cold start: at typical values, or at all
  // quantities' values in SI, duty included.
  OperatingPoint solve(const Duty& duty);
  OperatingPoint solve_at(const std::vector<double>& values);
  // The same from where the last solve ended, and without notes: for samples and sweeps.
  OperatingPoint resolve(const std::vector<double>& values);
  // Makes the next `resolve` start cold.
  void forget();

  // Exact slopes of the answers at the last point.
  Slopes slopes();

  // The warm-up's right-hand side linearised at the last point, leakage included:
  // dT/dt = A (T - T0), row-major; 1/s. And the names of its states.
  std::vector<double> linearise() const;
  std::vector<std::string> states() const;

  const network::Circuit& circuit() const;
  const std::vector<double>& unknowns() const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace libloop
