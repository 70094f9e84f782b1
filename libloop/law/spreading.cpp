#include "libloop/law/spreading.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "libloop/law/lift.hpp"

namespace libloop::law {
namespace {

using std::erf;
using std::exp;
using std::sqrt;

constexpr double pi = 3.141592653589793;
constexpr double root_pi = 1.7724538509055159;

// How far the mode sum goes: what is left out is below 1e-6 of the whole.
constexpr double decay_of_last_mode = 13.0;  // 2 zeta t1
constexpr double kernel_of_last_mode = 3.6;  // zeta s0
constexpr double fade_from = 0.8;            // of the last mode: the rest fades out smoothly
constexpr double film_of_last_mode = 1e-9;   // part of Z that the film can still change
constexpr double thinnest = 0.01;            // top layer over the longer side

// Gauss-Legendre, 16 nodes on -1..1: positive half.
struct Node {
  double place, weight;
};
constexpr std::array<Node, 8> nodes = {{{0.09501250983763745, 0.18945061045506859},
                                        {0.2816035507792589, 0.1826034150449236},
                                        {0.45801677765722737, 0.16915651939500262},
                                        {0.6178762444026438, 0.14959598881657676},
                                        {0.755404408355003, 0.12462897125553403},
                                        {0.8656312023878318, 0.09515851168249259},
                                        {0.9445750230732326, 0.062253523938647706},
                                        {0.9894009349916499, 0.027152459411754037}}};

// ---- the heat kernel along one side, between insulated ends -------------------------

template <class T>
struct Interval {
  T start, end;
  T length() const { return end - start; }
  T centre() const { return 0.5 * (start + end); }
};

// The second and the first integral over u of the kernel exp(-u^2/4s^2)/(2 s sqrt(pi)).
template <class T>
T twice_integrated(const T& u, const T& s) {
  const double at = value_of(u), spread = value_of(s);
  const double reduced = 0.5 * at / spread;
  // Beyond 6 erf is 1 and the bell is nothing, to the last digit.
  if (std::abs(reduced) > 6.0) return at > 0.0 ? 0.5 * u : -0.5 * u;
  const double step = 0.5 * std::erf(reduced);
  const double bell = std::exp(-reduced * reduced) / root_pi;
  return lift(u, s, at * step + spread * bell, step, bell);
}
template <class T>
T once_integrated(const T& u, const T& s) {
  return 0.5 * erf(u * (0.5 / s));
}

template <class T>
bool apart(const Interval<T>& a, const Interval<T>& b, const T& s) {
  const double reach = 10.0 * value_of(s);  // erfc(5) is 1.5e-12
  return value_of(b.start - a.end) > reach || value_of(a.start - b.end) > reach;
}

template <class T>
T between(const Interval<T>& receiver, const Interval<T>& source, const T& s) {
  if (apart(receiver, source, s)) return 0.0;
  const T sum = twice_integrated<T>(receiver.start - source.end, s) +
                twice_integrated<T>(receiver.end - source.start, s) -
                twice_integrated<T>(receiver.start - source.start, s) -
                twice_integrated<T>(receiver.end - source.end, s);
  return sum / (receiver.length() * source.length());
}

// The same for an interval onto itself, and onto its own middle: the ends are alike.
template <class T>
T onto_itself(const Interval<T>& source, const T& s) {
  const T length = source.length();
  return 2.0 * (twice_integrated<T>(length, s) - s / root_pi) / (length * length);
}
template <class T>
T onto_own_middle(const Interval<T>& source, const T& s) {
  const T length = source.length();
  return 2.0 * once_integrated<T>(0.5 * length, s) / length;
}

template <class T>
T onto_point(const T& receiver, const Interval<T>& source, const T& s) {
  if (apart({receiver, receiver}, source, s)) return 0.0;
  const T sum =
      once_integrated<T>(receiver - source.start, s) - once_integrated<T>(receiver - source.end, s);
  return sum / source.length();
}

// What the source's images behind both ends give; s0 is so small that no others are seen.
template <class T, class From>
T images(const Interval<T>& source, const T& side, const From& from) {
  const T twice = 2.0 * side;
  return from(Interval<T>{-source.end, -source.start}) +
         from(Interval<T>{twice - source.end, twice - source.start});
}

// ---- the cosine modes along one side ------------------------------------------------

// (cos, sin) of m theta for m = 0, 1, 2 ...
template <class T>
class Rotation {
 public:
  explicit Rotation(const T& theta) : step_cos_(cosine(theta)), step_sin_(sine(theta)) {}
  const T& cos() const { return cos_; }
  const T& sin() const { return sin_; }
  void advance() {
    const T next = cos_ * step_cos_ - sin_ * step_sin_;
    sin_ = sin_ * step_cos_ + cos_ * step_sin_;
    cos_ = next;
  }

 private:
  static T cosine(const T& x) {
    using std::cos;
    return cos(x);
  }
  static T sine(const T& x) {
    using std::sin;
    return sin(x);
  }
  T step_cos_, step_sin_;
  T cos_ = 1.0, sin_ = 0.0;
};

// What each mode carries along one side: e_m c_im c_jm, and the same with the receiver's
// centre in place of its mean.
template <class T>
class Axis {
 public:
  using Sources = std::span<const HeatedRectangle<T>>;
  using Member = T HeatedRectangle<T>::*;

  Axis(const T& side, std::size_t modes, Sources sources, Member offset, Member length)
      : modes_(modes), sources_(sources.size()), carried_(modes * entries()) {
    std::vector<T> mean(modes * sources_), centre(modes * sources_);
    for (std::size_t i = 0; i < sources_; ++i) {
      sample(side, sources[i].*offset, sources[i].*length, &mean[i], &centre[i]);
    }
    for (std::size_t m = 0; m < modes; ++m) pair(m, &mean[m * sources_], &centre[m * sources_]);
  }

  std::size_t modes() const { return modes_; }
  std::size_t entries() const { return 2 * sources_ * sources_; }
  // By entry: the mean matrix, then the centre one.
  const T* carried(std::size_t mode) const { return &carried_[mode * entries()]; }
  // Whether some source excites the mode: the others carry nothing.
  bool heard(std::size_t mode) const {
    return mode < modes_ && std::any_of(carried(mode), carried(mode) + entries(),
                                        [](const T& c) { return value_of(c) != 0.0; });
  }

 private:
  // All modes: the mean over the source, and the value in its centre.
  void sample(const T& side, const T& offset, const T& length, T* mean, T* centre) const {
    Rotation<T> place(pi * offset / side);
    const T half = 0.5 * pi * length / side;
    Rotation<T> breadth(half);
    for (std::size_t m = 0; m < modes_; ++m) {
      // cos(m pi/2 + m theta): zero to the last digit for a source in the middle.
      const std::array<T, 4> quarter = {place.cos(), -place.sin(), -place.cos(), place.sin()};
      const T& here = centre[m * sources_] = quarter[m % 4];
      mean[m * sources_] = m == 0 ? T(1.0) : here * breadth.sin() / (static_cast<double>(m) * half);
      place.advance();
      breadth.advance();
    }
  }

  void pair(std::size_t mode, const T* mean, const T* centre) {
    const double both_ways = mode > 0 ? 2.0 : 1.0;
    T* entry = &carried_[mode * entries()];
    for (const T* receiver : {mean, centre}) {
      for (std::size_t i = 0; i < sources_; ++i) {
        for (std::size_t j = 0; j < sources_; ++j) *entry++ = both_ways * receiver[i] * mean[j];
      }
    }
  }

  std::size_t modes_, sources_;
  std::vector<T> carried_;
};

// The modes that `here` hears, or `there`.
template <class T>
std::vector<std::size_t> heard_modes(const Axis<T>& here, const Axis<T>& there) {
  std::vector<std::size_t> modes;
  modes.reserve(here.modes());
  for (std::size_t m = 0; m < here.modes(); ++m) {
    if (here.heard(m) || there.heard(m)) modes.push_back(m);
  }
  return modes;
}

// ---- the impedance of one mode ------------------------------------------------------

// Z = far + depth/(1 + bend h): far with a perfect film, far + depth with none. `endless`
// is 1/(k zeta) of the top layer, what Z would be if that went on for ever.
template <class T>
struct Impedance {
  T far, depth, bend, endless;
};

// cosh and sinh of zeta t, both over e^(zeta t)/2: no loss for thick layers.
template <class T>
struct Layer {
  T decay, cosh, sinh;
  Layer(const PlateLayer<T>& layer, const T& zeta)
      : decay(exp(-2.0 * layer.thickness * zeta)), cosh(1.0 + decay), sinh(1.0 - decay) {}
};

// Z = (a0 + a1 h)/(b0 + b1 h), carried through the layers from the film up, with a1 in
// 1/zeta and b0 in zeta; whatever scales all four is left out. The determinant of each
// layer is cosh^2 - sinh^2, which gives `depth` without cancellation. Divisions are what
// the sum over modes costs: there is one.
template <class T>
class Impedances {
 public:
  explicit Impedances(const CompoundPlate<T>& plate)
      : plate_(plate),
        softness_top_(1.0 / plate.top.conductivity),
        softness_bottom_(1.0 / plate.bottom.conductivity) {}

  Impedance<T> at(const T& zeta) const {
    const Layer<T> top(plate_.top, zeta);
    const Layer<T> bottom(plate_.bottom, zeta);
    const T interface = plate_.interface_resistance * zeta;
    const T below_b0 = plate_.bottom.conductivity * bottom.sinh;
    const T below_a0 = bottom.cosh + interface * below_b0;
    const T below_a1 = softness_bottom_ * bottom.sinh + interface * bottom.cosh;
    const T along = plate_.top.conductivity * top.sinh;
    const T a1 = top.cosh * below_a1 + softness_top_ * top.sinh * bottom.cosh;
    const T b0 = top.cosh * below_b0 + along * below_a0;
    const T b1 = top.cosh * bottom.cosh + along * below_a1;
    const T both = b0 * b1;
    const T inverse = 1.0 / (zeta * both);
    return {a1 * b0 * inverse, 16.0 * top.decay * bottom.decay * inverse, b1 * b1 * inverse,
            softness_top_ * both * inverse};
  }

 private:
  const CompoundPlate<T>& plate_;
  T softness_top_, softness_bottom_;  // 1/k
};

// 1 for most modes, falling smoothly to 0 at the last, so that the answer stays smooth
// when a change of geometry lets one mode more or less into the sum.
template <class T>
T fade(const T& zeta_over_last) {
  const T u = (zeta_over_last - fade_from) * (1.0 / (1.0 - fade_from));
  if (u < 0.0) return T(1.0);
  return 1.0 - u * u * u * (10.0 - u * (15.0 - 6.0 * u));
}

// The larger of two, with its slopes.
template <class T>
T larger(const T& a, const T& b) {
  return a < b ? b : a;
}

constexpr std::size_t block = 64;

}  // namespace

template <class G>
Spreading<G>::Spreading(const CompoundPlate<G>& plate, std::span<const HeatedRectangle<G>> sources)
    : sources_(sources.size()), constant_(2 * sources.size() * sources.size()) {
  // The number of modes goes with side / thickness: thinner plates get no more of them.
  const G depth = larger<G>(plate.top.thickness, thinnest * larger<G>(plate.side_x, plate.side_y));
  // The split between the two sums: any small part of the side gives the same answer.
  const G reach = 0.07 * (plate.side_x < plate.side_y ? plate.side_x : plate.side_y);
  add_slow_part(plate, sources, reach);
  add_modes(plate, sources, depth, reach);
}

// 2/(k1 sqrt(pi)) int_0^s0 (X Y - 1/A) ds, with s = s0 v^2 so that the nodes crowd where
// a narrow gap between sources is seen.
template <class G>
void Spreading<G>::add_slow_part(const CompoundPlate<G>& plate,
                                 std::span<const HeatedRectangle<G>> sources, const G& reach) {
  const G uniform = 1.0 / (plate.side_x * plate.side_y);
  const G factor = 2.0 / (root_pi * plate.top.conductivity);
  std::vector<Interval<G>> x(sources_), y(sources_);
  for (std::size_t i = 0; i < sources_; ++i) {
    const HeatedRectangle<G>& one = sources[i];
    const G middle_x = 0.5 * plate.side_x + one.x;
    const G middle_y = 0.5 * plate.side_y + one.y;
    x[i] = {middle_x - 0.5 * one.length, middle_x + 0.5 * one.length};
    y[i] = {middle_y - 0.5 * one.width, middle_y + 0.5 * one.width};
  }
  G* const mean = constant_.data();
  G* const centre = mean + sources_ * sources_;
  const auto add_node = [&](double v, double weight) {
    const G s = reach * (v * v);
    const G scale = reach * (2.0 * v * weight) * factor;
    const auto mean_along = [&](const std::vector<Interval<G>>& at, std::size_t to,
                                std::size_t from, const G& side) {
      const G direct = to == from ? onto_itself(at[to], s) : between(at[to], at[from], s);
      return direct + images(at[from], side,
                             [&](const Interval<G>& image) { return between(at[to], image, s); });
    };
    const auto centre_along = [&](const std::vector<Interval<G>>& at, std::size_t to,
                                  std::size_t from, const G& side) {
      const G point = at[to].centre();
      const G direct = to == from ? onto_own_middle(at[to], s) : onto_point(point, at[from], s);
      return direct + images(at[from], side,
                             [&](const Interval<G>& image) { return onto_point(point, image, s); });
    };
    for (std::size_t i = 0; i < sources_; ++i) {
      for (std::size_t j = 0; j < sources_; ++j) {
        centre[i * sources_ + j] +=
            scale *
            (centre_along(x, i, j, plate.side_x) * centre_along(y, i, j, plate.side_y) - uniform);
        if (j < i) continue;
        const G both =
            scale *
            (mean_along(x, i, j, plate.side_x) * mean_along(y, i, j, plate.side_y) - uniform);
        mean[i * sources_ + j] += both;
        if (j > i) mean[j * sources_ + i] += both;
      }
    }
  };
  for (const Node& node : nodes) {
    add_node(0.5 * (1.0 - node.place), 0.5 * node.weight);
    add_node(0.5 * (1.0 + node.place), 0.5 * node.weight);
  }
}

template <class G>
void Spreading<G>::add_modes(const CompoundPlate<G>& plate,
                             std::span<const HeatedRectangle<G>> sources, const G& depth,
                             const G& reach) {
  const G last = larger<G>(0.5 * decay_of_last_mode / depth, kernel_of_last_mode / reach);
  const auto count = [&](const G& side) {
    return static_cast<std::size_t>(value_of(last) * value_of(side) / pi) + 1;
  };
  using Source = HeatedRectangle<G>;
  const Axis<G> along_x(plate.side_x, count(plate.side_x), sources, &Source::x, &Source::length);
  const Axis<G> along_y(plate.side_y, count(plate.side_y), sources, &Source::y, &Source::width);

  // On a square, modes (m, n) and (n, m) share their impedance.
  const bool square = value_of(plate.side_x) == value_of(plate.side_y);
  const std::vector<std::size_t> modes_x = heard_modes(along_x, square ? along_y : along_x);
  const std::vector<std::size_t> modes_y = heard_modes(along_y, square ? along_x : along_y);

  const Impedances<G> impedances(plate);
  const G uniform = 1.0 / (plate.side_x * plate.side_y);
  const G wave_x = pi / plate.side_x, wave_y = pi / plate.side_y;
  const G shortest = 1.0 / last;
  const std::size_t entries = constant_.size();
  std::vector<G> rows;  // like weight_, but mode by mode
  rows.reserve(modes_x.size() * modes_y.size() * entries);
  bend_.reserve(modes_x.size() * modes_y.size());
  for (const std::size_t m : modes_x) {
    const G lambda = static_cast<double>(m) * wave_x;
    for (const std::size_t n : modes_y) {
      if (square && n > m) break;
      if (m == 0 && n == 0) continue;
      const G delta = static_cast<double>(n) * wave_y;
      const G zeta = sqrt(lambda * lambda + delta * delta);
      if (zeta > last) break;
      const Impedance<G> z = impedances.at(zeta);
      const G endless = erf(zeta * reach) * z.endless;
      const G strength = uniform * fade<G>(zeta * shortest);
      const bool feels_film = value_of(z.depth) > film_of_last_mode * value_of(z.far);
      const G fixed =
          strength * (feels_film ? G(z.far - endless) : G(z.far + 0.5 * z.depth - endless));
      const G film_part = strength * z.depth;
      if (feels_film) bend_.push_back(z.bend);
      const bool twin = square && m != n;
      const G *own_x = along_x.carried(m), *own_y = along_y.carried(n);
      const G *twin_x = along_x.carried(twin ? n : m), *twin_y = along_y.carried(twin ? m : n);
      for (std::size_t entry = 0; entry < entries; ++entry) {
        G weight = own_x[entry] * own_y[entry];
        if (twin) weight += twin_x[entry] * twin_y[entry];
        constant_[entry] += weight * fixed;
        if (feels_film) rows.push_back(weight * film_part);
      }
    }
  }

  const std::size_t modes = bend_.size();
  weight_.resize(rows.size());
  for (std::size_t mode = 0; mode < modes; ++mode) {
    for (std::size_t k = 0; k < entries; ++k) weight_[k * modes + mode] = rows[mode * entries + k];
  }
}

template <class G>
template <class X>
void Spreading<G>::evaluate(X film, Promote<G, X>* mean, Promote<G, X>* centre) const {
  const double h = value_of(film);
  const std::size_t half = constant_.size() / 2;
  const std::size_t modes = bend_.size();
  std::copy(constant_.begin(), constant_.begin() + static_cast<std::ptrdiff_t>(half), mean);
  std::copy(constant_.begin() + static_cast<std::ptrdiff_t>(half), constant_.end(), centre);

  std::array<G, block> share;         // 1/(1 + bend h)
  std::array<double, block> by_film;  // and its derivative by h
  for (std::size_t first = 0; first < modes; first += block) {
    const std::size_t size = std::min(block, modes - first);
    for (std::size_t i = 0; i < size; ++i) {
      const G& bend = bend_[first + i];
      share[i] = 1.0 / (1.0 + bend * h);
      by_film[i] = -value_of(bend) * value_of(share[i]) * value_of(share[i]);
    }
    for (std::size_t k = 0; k < 2 * half; ++k) {
      const G* weight = weight_.data() + k * modes + first;
      G sum = 0.0;
      double slope = 0.0;
      for (std::size_t i = 0; i < size; ++i) {
        sum += weight[i] * share[i];
        slope += value_of(weight[i]) * by_film[i];
      }
      Promote<G, X>& entry = k < half ? mean[k] : centre[k - half];
      entry += sum + lift(film, 0.0, slope);
    }
  }
}

template class Spreading<double>;
template class Spreading<Gradient>;
template void Spreading<double>::evaluate(double, double*, double*) const;
template void Spreading<double>::evaluate(Dual<1>, Dual<1>*, Dual<1>*) const;
template void Spreading<double>::evaluate(Gradient, Gradient*, Gradient*) const;
template void Spreading<Gradient>::evaluate(double, Gradient*, Gradient*) const;
template void Spreading<Gradient>::evaluate(Gradient, Gradient*, Gradient*) const;

}  // namespace libloop::law
