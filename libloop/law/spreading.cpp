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
  const double step = 0.5 * std::erf(0.5 * at / spread);
  const double bell = std::exp(-0.25 * at * at / (spread * spread)) / root_pi;
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

template <class T>
struct Axis {
  std::size_t sources;
  std::vector<T> wave;      // lambda, per mode
  std::vector<T> mean;      // of the mode over each source, per mode and source
  std::vector<T> centre;    // in its centre
  std::vector<char> heard;  // 0 or 1, per mode

  Axis(const T& side, std::size_t modes, std::size_t count)
      : sources(count), wave(modes), mean(modes * count), centre(modes * count) {
    for (std::size_t m = 0; m < modes; ++m) wave[m] = static_cast<double>(m) * pi / side;
  }

  // A source whose centre is `offset` from the middle of the side.
  void add(std::size_t index, const T& side, const T& offset, const T& length) {
    Rotation<T> place(pi * offset / side);
    const T half = 0.5 * pi * length / side;
    Rotation<T> breadth(half);
    for (std::size_t m = 0; m < wave.size(); ++m) {
      // cos(m pi/2 + m theta): zero to the last digit for a source in the middle.
      const std::array<T, 4> quarter = {place.cos(), -place.sin(), -place.cos(), place.sin()};
      const std::size_t at = m * sources + index;
      centre[at] = quarter[m % 4];
      mean[at] = m == 0 ? T(1.0) : centre[at] * breadth.sin() / (static_cast<double>(m) * half);
      place.advance();
      breadth.advance();
    }
  }

  // Marks the modes that some source excites.
  void listen() {
    heard.assign(wave.size(), 0);
    for (std::size_t k = 0; k < centre.size(); ++k) {
      if (value_of(centre[k]) != 0.0) heard[k / sources] = 1;
    }
  }
};

// ---- the impedance of one mode ------------------------------------------------------

// Z = far + depth/(1 + bend h): far with a perfect film, far + depth with none.
template <class T>
struct Impedance {
  T far, depth, bend;
};

// tanh(zeta t) and 1 - tanh^2 without loss for thick layers. Divisions are what the sum
// over modes costs: the inverse of k zeta is handed in.
template <class T>
struct Layer {
  T tanh, rest, stiffness, softness;  // stiffness = k zeta
  Layer(const PlateLayer<T>& layer, const T& zeta, const T& inverse)
      : stiffness(layer.conductivity * zeta), softness(inverse) {
    const T decay = exp(-2.0 * zeta * layer.thickness);
    const T share = 1.0 / (1.0 + decay);
    tanh = (1.0 - decay) * share;
    rest = 4.0 * decay * share * share;
  }
};

// Z = (a0 + a1 h)/(b0 + b1 h), carried through the layers from the film up. The
// determinant of each layer is 1 - tanh^2, which gives `depth` without cancellation.
template <class T>
Impedance<T> impedance(const CompoundPlate<T>& plate, const Layer<T>& top, const Layer<T>& bottom) {
  const T below_b0 = bottom.stiffness * bottom.tanh;
  const T below_a0 = 1.0 + plate.interface_resistance * below_b0;
  const T below_a1 = bottom.tanh * bottom.softness + plate.interface_resistance;
  const T along = top.tanh * top.stiffness;
  const T a1 = below_a1 + top.tanh * top.softness;
  const T b0 = below_b0 + along * below_a0;
  const T b1 = 1.0 + along * below_a1;
  const T inverse = 1.0 / (b0 * b1);
  return {a1 * b0 * inverse, top.rest * bottom.rest * inverse, b1 * b1 * inverse};
}

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
  Axis<G> along_x(plate.side_x, count(plate.side_x), sources_);
  Axis<G> along_y(plate.side_y, count(plate.side_y), sources_);
  for (std::size_t i = 0; i < sources_; ++i) {
    along_x.add(i, plate.side_x, sources[i].x, sources[i].length);
    along_y.add(i, plate.side_y, sources[i].y, sources[i].width);
  }
  along_x.listen();
  along_y.listen();

  const G uniform = 1.0 / (plate.side_x * plate.side_y);
  const std::size_t entries = constant_.size();
  const auto heard = [&](std::size_t m, std::size_t n) {
    return along_x.heard[m] != 0 && along_y.heard[n] != 0;
  };
  // Adds the weights of mode (m, n) in all entries: the mean matrix, then the centre one.
  std::vector<G> weights(entries);
  const auto add_weights = [&](std::size_t m, std::size_t n) {
    const double both_ways = (m > 0 ? 2.0 : 1.0) * (n > 0 ? 2.0 : 1.0);
    const G *from_x = &along_x.mean[m * sources_], *from_y = &along_y.mean[n * sources_];
    std::size_t entry = 0;
    for (const auto& [to_x, to_y] :
         {std::pair(from_x, from_y),
          std::pair<const G*, const G*>(&along_x.centre[m * sources_],
                                        &along_y.centre[n * sources_])}) {
      for (std::size_t i = 0; i < sources_; ++i) {
        const G to = both_ways * to_x[i] * to_y[i];
        for (std::size_t j = 0; j < sources_; ++j) weights[entry++] += to * from_x[j] * from_y[j];
      }
    }
  };

  const G softness_top = 1.0 / plate.top.conductivity;
  const G softness_bottom = 1.0 / plate.bottom.conductivity;
  const G shortest = 1.0 / last;
  // On a square, modes (m, n) and (n, m) share their impedance.
  const bool square = value_of(plate.side_x) == value_of(plate.side_y);
  std::vector<G> rows;  // like weight_, but mode by mode
  for (std::size_t m = 0; m < along_x.wave.size(); ++m) {
    const std::size_t end = square ? m + 1 : along_y.wave.size();
    for (std::size_t n = m == 0 ? 1 : 0; n < end; ++n) {
      const bool twin = square && m != n && heard(n, m);
      if (!heard(m, n) && !twin) continue;
      const G wave_square = along_x.wave[m] * along_x.wave[m] + along_y.wave[n] * along_y.wave[n];
      if (value_of(wave_square) > value_of(last) * value_of(last)) break;
      const G zeta = sqrt(wave_square);
      const G wavelength = 1.0 / zeta;
      const Layer<G> top(plate.top, zeta, wavelength * softness_top);
      const Layer<G> bottom(plate.bottom, zeta, wavelength * softness_bottom);
      const Impedance<G> z = impedance(plate, top, bottom);
      const G endless = erf(zeta * reach) * top.softness;
      const G strength = uniform * fade<G>(zeta * shortest);
      const bool feels_film = value_of(z.depth) > film_of_last_mode * value_of(z.far);
      const G fixed =
          strength * (feels_film ? G(z.far - endless) : G(z.far + 0.5 * z.depth - endless));
      if (feels_film) bend_.push_back(z.bend);
      weights.assign(entries, G(0.0));
      if (heard(m, n)) add_weights(m, n);
      if (twin) add_weights(n, m);
      const G film_part = strength * z.depth;
      for (std::size_t entry = 0; entry < entries; ++entry) {
        constant_[entry] += weights[entry] * fixed;
        if (feels_film) rows.push_back(weights[entry] * film_part);
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
