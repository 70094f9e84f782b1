#!/usr/bin/python3
"""Water of libloop against python3-iapws.

usage: water.py TABLE    where TABLE is the output of print_laws
"""
import csv
import sys

from iapws import IAPWS97
from iapws._iapws import _Liquid

# The same release, coded by others: only rounding may differ.
SAME = 1e-9
# The industrial formulation IF97 with the full viscosity (R12-08) and conductivity (R15-11)
# releases: other equations for the same liquid. They must differ by no more than a small
# part of the releases' own uncertainty (viscosity 1 %, conductivity 1.5 %, heat 0.1 %).
OTHER = {"density": 5e-5, "specific_heat": 1e-3, "viscosity": 1e-4, "conductivity": 2e-4}
NAMES = {"density": "rho", "specific_heat": "cp", "viscosity": "mu", "conductivity": "k"}


def main():
    worst = {"same release": 0.0, "IF97": 0.0}
    failures = 0
    count = 0
    for law, kelvin, _, value in csv.reader(open(sys.argv[1]), delimiter="\t"):
        name = law.removeprefix("water_")
        if law == name:
            continue
        count += 1
        kelvin, value = float(kelvin), float(value)
        kilo = 1000.0 if name == "specific_heat" else 1.0
        same = kilo * _Liquid(kelvin, 0.1)[NAMES[name]]
        other = kilo * getattr(IAPWS97(T=kelvin, P=0.1), NAMES[name])
        for label, expected, allowed in (("same release", same, SAME),
                                         ("IF97", other, OTHER[name])):
            error = abs(value / expected - 1.0)
            worst[label] = max(worst[label], error)
            if not error <= allowed:
                failures += 1
                print(f"{law} at {kelvin} K: {value!r}, {label} says {expected!r}")
    if failures or not count:
        print(f"water: {failures} of {count} values disagree")
        return 1
    print("water: %d values agree; worst relative error %.1e (same release), %.1e (IF97)"
          % (count, worst["same release"], worst["IF97"]))
    return 0


sys.exit(main())
