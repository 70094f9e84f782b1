#!/usr/bin/python3
"""Air of libloop against python3-iapws (Lemmon's reference equations) and python3-fluids
(U.S. Standard Atmosphere 1976).

usage: air.py TABLE    where TABLE is the output of print_laws
"""
import csv
import sys

from fluids import ATMOSPHERE_1976
from iapws.humidAir import Air

# Simple formulas against the reference equations, -10 to 80 C: the accuracy that libloop
# states. Density lacks only the second virial coefficient; specific heat is held at its
# value at 300 K; the conductivity of the standard drifts from today's reference in the cold.
REFERENCE = {"density": 1e-3, "specific_heat": 4e-3, "viscosity": 8e-3, "conductivity": 1.2e-2}
NAMES = {"density": "rho", "specific_heat": "cp", "viscosity": "mu", "conductivity": "k"}
# The same standard coded by others. Its exponent is g M / (R L) there, 5.255876 here.
STANDARD = 1e-6


def expected_and_allowed(law, first, second):
    if law == "standard_pressure":
        return ATMOSPHERE_1976(first).P, STANDARD
    name = law.removeprefix("air_")
    kilo = 1000.0 if name == "specific_heat" else 1.0
    return kilo * getattr(Air(T=first, P=second / 1e6), NAMES[name]), REFERENCE[name]


def main():
    worst = {}
    failures = 0
    for law, first, second, value in csv.reader(open(sys.argv[1]), delimiter="\t"):
        if law != "standard_pressure" and not law.startswith("air_"):
            continue
        expected, allowed = expected_and_allowed(law, float(first), float(second))
        error = abs(float(value) / expected - 1.0)
        worst[law] = max(worst.get(law, 0.0), error)
        if not error <= allowed:
            failures += 1
            print(f"{law} at {first}, {second}: {value}, expected {expected!r}")
    if failures or not worst:
        print(f"air: {failures} values disagree")
        return 1
    print("air: all agree; worst relative errors "
          + ", ".join(f"{law} {error:.1e}" for law, error in sorted(worst.items())))
    return 0


sys.exit(main())
