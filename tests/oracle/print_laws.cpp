// Prints what libloop computes, for the scripts beside it to compare with independent
// libraries: one line per value, `law <tab> first input <tab> second input <tab> value`.
// SI units; an input that a law does not have is 0.

#include <cstdio>
#include <initializer_list>

#include "libloop/fluid/air.hpp"
#include "libloop/fluid/liquid.hpp"
#include "libloop/law/friction.hpp"

using namespace libloop;

namespace {

void print(const char* law, double first, double second, double value) {
  std::printf("%s\t%.17g\t%.17g\t%.17g\n", law, first, second, value);
}

void print_water() {
  const fluid::Liquid<double> water = fluid::make_liquid(fluid::LiquidKind::water, 0.0);
  for (int celsius = 5; celsius <= 95; celsius += 5) {
    const double kelvin = 273.15 + celsius;
    print("water_density", kelvin, 0.0, density(water, kelvin));
    print("water_specific_heat", kelvin, 0.0, specific_heat(water, kelvin));
    print("water_conductivity", kelvin, 0.0, conductivity(water, kelvin));
    print("water_viscosity", kelvin, 0.0, viscosity(water, kelvin));
  }
}

void print_air() {
  for (int celsius = -10; celsius <= 80; celsius += 10) {
    const double kelvin = 273.15 + celsius;
    const double pascal = 101325.0;
    print("air_density", kelvin, pascal, fluid::air_density(kelvin, pascal));
    print("air_specific_heat", kelvin, pascal, fluid::air_specific_heat);
    print("air_viscosity", kelvin, pascal, fluid::air_viscosity(kelvin));
    print("air_conductivity", kelvin, pascal, fluid::air_conductivity(kelvin));
  }
  for (int metres = 0; metres <= 10500; metres += 500)
    print("standard_pressure", metres, 0.0, fluid::standard_pressure(double(metres)));
}

void print_friction() {
  for (double roughness : {0.0, 1e-5, 1e-4, 1e-3, 1e-2, 5e-2})
    for (double reynolds = 1.0; reynolds < 1e7; reynolds *= 1.3)
      print("churchill", reynolds, roughness, law::churchill(reynolds, roughness));
  for (double bore : {0.004, 0.01016, 0.03})
    for (double reynolds : {1.0, 100.0, 1000.0, 6000.0, 1e5})
      print("two_k", reynolds, bore, law::two_k(reynolds, 800.0, 0.40, bore));
}

}  // namespace

int main() {
  print_water();
  print_air();
  print_friction();
}
