// An element: a piece of a part as the network sees it.
//
// It reads some of the circuit's variables (flows through its branches, temperatures of
// what enters them, states, nodes, auxiliary values) and some quantities, and writes
// pressure drops, outlet temperatures, heat flows into states and nodes, stored heat,
// auxiliary definitions and contributions to answers. It knows nothing of its neighbours; the
// circuit joins them.
//
// To add one, write a class with
//
//   template <class T> struct Prepared { ... };                      // geometry, factors
//   template <class T> Prepared<T> prepare(const T* q) const;        // local quantities
//   template <class G, class X>
//   void evaluate(const Prepared<G>&, const X* in, Promote<G, X>* out) const;
//   void notes(const Prepared<double>&, const double* in, Notes&) const;
//   bool rising(const Prepared<double>&) const;   // only of machines whose curve may turn
//   std::vector<Conductance> conductances() const;  // only where it carries heat: see below
//   std::vector<std::string> stores() const;        // only where it stores heat: one name for
//                                                   // each `capacity` output, in their order
//
// and hand it to `adapt` with its inputs, outputs and the global numbers of its
// quantities. The one text then serves values, derivatives by variable and derivatives by
// quantity.
//
// A law with conductances has `Scales<n> scale` in its Prepared and multiplies conductance
// number k by scale[k] wherever it carries heat, nowhere else: capacity flows scale the heat
// they carry, not the drop they cause. So heat is of degree one in all conductances together,
// and what leaves, a temperature, of degree none.
#pragma once

#include <array>
#include <cstddef>
#include <memory>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "libloop/math/dual.hpp"
#include "libloop/network/note.hpp"

namespace libloop::network {

struct Input {
  enum class Kind {
    flow,   // mass flow of a branch, kg/s
    inlet,  // temperature of what enters a branch, at whichever end it enters, K
    state,  // temperature of a state, K
    aux,    // auxiliary value, defined by some element
    node    // temperature of a node, K
  };
  Kind kind;
  int index;
};

struct Output {
  enum class Kind {
    drop,       // pressure drop along a branch, Pa (negative: a machine drives)
    outlet,     // temperature of what leaves a branch, at whichever end it leaves, K
    heat,       // heat flow into a state, W; inflow of coolant is added by the circuit
    node_heat,  // heat flow into a node, W; of no effect where its temperature is given
    capacity,   // heat stored per kelvin by a state, J/K
    define,     // the value of an auxiliary
    answer      // contribution to an answer
  };
  Kind kind;
  int index;
};

// What carries heat in proportion to itself: a layer, a film, a capacity flow, in W/K. Equal
// names, in whatever elements, are one conductance to who reads them.
struct Conductance {
  std::string name;
  // Its value is the auxiliary that the element defines: others carry heat by it too. The
  // definition stays unscaled; who scales it scales what the others read.
  bool handed_on = false;
};

// Factors on the conductances of a law, 1 but while somebody asks what one of them does.
template <std::size_t n>
struct Scales {
  Scales() { factor.fill(1.0); }
  double operator[](std::size_t which) const { return factor[which]; }
  std::array<double, n> factor;
};

class Element {
 public:
  virtual ~Element() = default;

  virtual void prepare(const double* q) = 0;
  virtual void evaluate(const double* in, double* out) const = 0;
  virtual void evaluate(const Gradient* in, Gradient* out) const = 0;
  virtual void evaluate(const Gradient* q, const double* in, Gradient* out) const = 0;
  virtual void notes(const double* in, Notes& notes) const = 0;
  // Whether a pressure it gives may grow with flow: then several flows may balance.
  virtual bool rising() const = 0;
  // Its conductances, and what its `capacity` outputs are called, in their order. An element
  // without such names has none to tell.
  virtual std::vector<Conductance> conductances() const = 0;
  virtual std::vector<std::string> stores() const = 0;
  // Multiplies one conductance in all evaluations by unknown until the next of this or of
  // prepare(); evaluations by quantity keep it as it is.
  virtual void scale(int which, double factor) = 0;

  const std::string& name() const { return name_; }
  const std::vector<Input>& inputs() const { return inputs_; }
  const std::vector<Output>& outputs() const { return outputs_; }
  const std::vector<int>& quantities() const { return quantities_; }

 protected:
  Element(std::string name, std::vector<Input> inputs, std::vector<Output> outputs,
          std::vector<int> quantities)
      : name_(std::move(name)),
        inputs_(std::move(inputs)),
        outputs_(std::move(outputs)),
        quantities_(std::move(quantities)) {}

 private:
  std::string name_;
  std::vector<Input> inputs_;
  std::vector<Output> outputs_;
  std::vector<int> quantities_;
};

template <class Law>
class Adapted final : public Element {
 public:
  Adapted(std::string name, std::vector<Input> inputs, std::vector<Output> outputs,
          std::vector<int> quantities, Law law)
      : Element(std::move(name), std::move(inputs), std::move(outputs), std::move(quantities)),
        law_(std::move(law)) {}

  void prepare(const double* q) override { prepared_ = law_.template prepare<double>(q); }
  void evaluate(const double* in, double* out) const override {
    law_.template evaluate<double, double>(prepared_, in, out);
  }
  void evaluate(const Gradient* in, Gradient* out) const override {
    law_.template evaluate<double, Gradient>(prepared_, in, out);
  }
  void evaluate(const Gradient* q, const double* in, Gradient* out) const override {
    law_.template evaluate<Gradient, double>(law_.template prepare<Gradient>(q), in, out);
  }
  void notes(const double* in, Notes& notes) const override { law_.notes(prepared_, in, notes); }
  bool rising() const override {
    if constexpr (requires { law_.rising(prepared_); }) return law_.rising(prepared_);
    return false;
  }
  std::vector<Conductance> conductances() const override {
    if constexpr (requires { law_.conductances(); }) return law_.conductances();
    return {};
  }
  std::vector<std::string> stores() const override {
    if constexpr (requires { law_.stores(); }) return law_.stores();
    return {};
  }
  void scale(int which, double factor) override {
    if constexpr (requires { law_.conductances(); }) {
      prepared_.scale.factor.at(static_cast<std::size_t>(which)) = factor;
    } else {
      static_cast<void>(factor);
      throw std::out_of_range("no such conductance: " + std::to_string(which));
    }
  }

 private:
  Law law_;
  typename Law::template Prepared<double> prepared_{};
};

template <class Law>
std::unique_ptr<Element> adapt(std::string name, std::vector<Input> inputs,
                               std::vector<Output> outputs, std::vector<int> quantities, Law law) {
  return std::make_unique<Adapted<Law>>(std::move(name), std::move(inputs), std::move(outputs),
                                        std::move(quantities), std::move(law));
}

}  // namespace libloop::network
