// How far a measured value may be off, and by what: an uncertainty budget after JCGM 100:2008
// (GUM), first order.
#pragma once

#include <functional>
#include <span>
#include <string>
#include <vector>

namespace libloop {

// Whose doubt a contribution is. Between two coolers on one bench the bench's cancels, between
// two points of one mounting the mounting's does.
enum class Shared { no, mount, bench };

struct Contribution {
  std::string name;      // "chip reading, rounding"
  double u = 0.0;        // standard uncertainty, in the unit of the result
  double freedom = 0.0;  // degrees of freedom; 0: taken as known
  Shared shared = Shared::no;
};

// Root of the sum of squares (GUM equation 10).
double combined(std::span<const Contribution> budget);
double combined(std::span<const Contribution> budget, Shared shared);
// Welch-Satterthwaite (GUM equation G.2b); infinite when every contribution is taken as known.
double effective_freedom(std::span<const Contribution> budget);

// Standard uncertainty of a reading that lies within +-half_width, nothing else known
// (GUM 4.3.7): half_width / sqrt 3.
double rectangular(double half_width);

// Standard uncertainty of f(x) at x with standard uncertainties u and correlations r (row by
// row, n x n; empty: none), GUM equation 13. Slopes are central differences over +-u. Throws
// InputError (code call) when sizes differ, or u or r is none.
double propagated(const std::function<double(std::span<const double>)>& f,
                  std::span<const double> x, std::span<const double> u,
                  std::span<const double> r = {});

}  // namespace libloop
