#include "libloop/model/leakage.hpp"

#include <Eigen/Dense>
#include <algorithm>

#include "libloop/network/solve.hpp"

namespace libloop {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

}  // namespace

Leakage::Leakage(const Model::Setup& setup, const Built& built)
    : circuit_(built.circuit),
      duty_load_(setup.duty[0]),
      power_factor_(setup.place(setup.bench.bench, "power_factor")),
      at_reference_(setup.bench.bench.choice("load_at") == "reference") {
  for (const BuiltChip& chip : built.chips) {
    const Seat& seat = *chip.place->seat;
    Chip c;
    if (seat.chip.given("load")) c.load = setup.place(seat.chip, "load");
    c.slope = setup.place(seat.chip, "leakage_slope");
    c.reference = setup.place(seat.chip, "leakage_reference");
    for (const Sheet& die : seat.dies) c.shares.push_back(setup.place(die, "power_share"));
    c.dies = chip.dies;
    chips_.push_back(std::move(c));
  }
}

double Leakage::load(std::size_t chip, const std::vector<double>& values) const {
  const int own = chips_[chip].load;
  return values[at(own >= 0 ? own : duty_load_)];
}

double Leakage::load(const std::vector<double>& values) const {
  double all = 0.0;
  for (std::size_t i = 0; i < chips_.size(); ++i) all += load(i, values);
  return all;
}

std::vector<double> Leakage::growth(const std::vector<double>& values) const {
  std::vector<double> growth(at(circuit_.states()), 0.0);
  for (std::size_t i = 0; i < chips_.size(); ++i) {
    const Chip& chip = chips_[i];
    const double power = load(i, values) * values[at(power_factor_)];
    double shares = 0.0;
    for (const int share : chip.shares) shares += values[at(share)];
    for (std::size_t d = 0; d < chip.dies.size(); ++d) {
      growth[at(chip.dies[d])] =
          values[at(chip.slope)] * power * values[at(chip.shares[d])] / shares;
    }
  }
  return growth;
}

double Leakage::gain(const std::vector<double>& x, const std::vector<double>& values) const {
  std::vector<int> dies;
  for (const Chip& chip : chips_) dies.insert(dies.end(), chip.dies.begin(), chip.dies.end());
  const std::vector<double> leak = growth(values);
  // The response is wanted without leakage, which a load at a reference already holds.
  std::vector<double> without(leak.size(), 0.0);
  if (at_reference_) {
    std::transform(leak.begin(), leak.end(), without.begin(), [](double w) { return -w; });
  }
  const std::vector<double> response = network::heat_response(circuit_, x, dies, without);
  const auto n = static_cast<Eigen::Index>(dies.size());
  Eigen::MatrixXd gain(n, n);
  for (Eigen::Index i = 0; i < n; ++i) {
    for (Eigen::Index j = 0; j < n; ++j) {
      gain(i, j) = leak[at(dies[static_cast<std::size_t>(i)])] *
                   response[static_cast<std::size_t>(i * n + j)];
    }
  }
  return gain.eigenvalues().real().maxCoeff();
}

double Leakage::coldest_power(const std::vector<double>& x,
                              const std::vector<double>& values) const {
  double least = 1.0;
  for (const Chip& chip : chips_) {
    for (const int die : chip.dies) {
      const double over = x[at(circuit_.state_row(die))] - values[at(chip.reference)];
      least = std::min(least, 1.0 + values[at(chip.slope)] * over);
    }
  }
  return least;
}

std::vector<double> Leakage::slopes(const std::vector<double>& values) const {
  std::vector<double> slopes(at(circuit_.states()), 0.0);
  for (const Chip& chip : chips_) {
    for (const int die : chip.dies) slopes[at(die)] = values[at(chip.slope)];
  }
  return slopes;
}

void Leakage::scale(double factor, std::vector<double>& values) const {
  for (const Chip& chip : chips_) values[at(chip.slope)] *= factor;
}

}  // namespace libloop
