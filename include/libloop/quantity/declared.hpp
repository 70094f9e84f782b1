// How a quantity is declared: once, beside the member that holds it.
//
// docs/decisions/quantity.md tells why. A part's `describe` calls a visitor with each
// member and one of the declarations below; reading, defaults, samples, derivatives and
// docs are loops over that visit.
#pragma once

#include <initializer_list>
#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "libloop/math/curve.hpp"

namespace libloop {

// The scale on which a doubt is roughly symmetric.
enum class Transform { none, log, logit };

// What a quantity is about: sizing varies geometry, calibration varies corrections.
enum class Kind { geometry, material, assembly, machine, duty, correction, reading };

// Whose doubt it is: common to all coolers on a bench; common to all uses of a
// correlation; one for all copies of a product; independent for each copy.
enum class Scope { bench, law, product, each };

std::string_view word(Transform);
std::string_view word(Kind);
std::string_view word(Scope);

// A quantity. All numbers are in `unit`; low = typical = high says it is exact.
struct Declared {
  std::string_view name;
  std::string_view unit;
  double low = 0.0, typical = 0.0, high = 0.0;
  double min = 0.0, max = 0.0;
  Transform transform = Transform::none;
  Kind kind = Kind::geometry;
  Scope scope = Scope::product;
  std::string_view source;
  std::string_view meaning;
};

// A quantity which, when given, replaces a rule. It has no default of its own.
struct DeclaredOverride {
  std::string_view name;
  std::string_view unit;
  double min = 0.0, max = 0.0;
  Transform transform = Transform::none;
  Kind kind = Kind::geometry;
  Scope scope = Scope::product;
  std::string_view rule;  // "thickness less frame_allowance"
  std::string_view meaning;
};

// A fixed number with a unit that decides which elements exist; no derivative.
struct DeclaredNominal {
  std::string_view name;
  std::string_view unit;
  double typical = 0.0;  // 0: follows from the rule in `meaning`
  double min = 0.0, max = 0.0;
  std::string_view meaning;
};

struct DeclaredCount {
  std::string_view name;
  int typical = 1;
  int min = 1, max = 1;
  std::string_view meaning;
};

// One word out of a list; the first is the default unless `required`.
struct DeclaredChoice {
  std::string_view name;
  std::initializer_list<std::string_view> words;
  bool required = false;
  std::string_view meaning;
};

// A curve: flow against pressure rise at rated speed.
struct DeclaredCurve {
  std::string_view name;
  std::string_view x_unit, y_unit;
  std::string_view x_name, y_name;
  std::string_view meaning;
};

// The members that go with the declarations.

template <class T>
struct Override {
  T value{};
  bool given = false;
  T or_else(const T& rule) const { return given ? value : rule; }
};

struct Nominal {
  double value = 0.0;
};
struct Count {
  int value = 0;
};
struct Choice {
  int value = 0;
  friend bool operator==(Choice a, int b) { return a.value == b; }
};
struct Curve {
  std::shared_ptr<const MonotoneCurve> points;  // null when not given; SI
};

}  // namespace libloop
