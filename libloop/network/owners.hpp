// Who owns a mode: what every capacity and every conductance does to its time constant.
#pragma once

#include <complex>
#include <map>
#include <span>
#include <string>
#include <vector>

#include "libloop/network/modes.hpp"
#include "libloop/network/plan.hpp"

namespace libloop::network {

using Complex = std::complex<double>;

// Right and left vector of a mode, over all columns and rows of places; the left is scaled so
// that left' C right is 1.
struct ModeVectors {
  Complex lambda;
  std::vector<Complex> right, left;
};

class Owners {
 public:
  // `work` holds the values at x. `extra` and its names as for Modes.
  Owners(const Circuit& circuit, std::span<const double> x, const Evaluation& work,
         std::span<const double> extra, std::span<const std::string> extra_names);

  void find(const ModeVectors& vectors, Mode& mode);

 private:
  // An element's outputs weighed: by their change along the mode, and by their value.
  struct Weight {
    Complex change, value;
  };
  using Named = std::map<std::string, Complex>;

  void follow_elements();
  Gradient read(const Input& input) const;
  Complex flow_and_heat(int branch, double inward, int heat) const;
  void weigh_outlets();
  Weight weight_of(const Output& output) const;
  Complex weighed(const Element& element, const std::vector<Weight>& weights, int aux,
                  double factor);
  std::vector<Weight> weights_of(const Element& element) const;
  Complex by_scale(Element& element, int which);
  Complex by_auxiliary(int aux);
  void add_capacities(Named& all) const;
  void add_conductances(Named& all);
  void add_streams(Named& all) const;
  void add_extra(Named& all) const;
  std::size_t column(int unknown) const { return at(wide(circuit_, unknown)); }

  const Circuit& circuit_;
  const Plan& plan_;
  std::span<const double> x_;
  const Evaluation& work_;
  std::span<const double> extra_;
  std::span<const std::string> extra_names_;
  const ModeVectors* mode_ = nullptr;
  std::vector<Gradient> outlet_;  // by branch: value, and change along the mode
  std::vector<Weight> of_outlet_;
  std::vector<Gradient> in_, out_;
};

}  // namespace libloop::network
