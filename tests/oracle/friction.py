#!/usr/bin/python3
"""Friction of libloop against python3-fluids.

usage: friction.py TABLE    where TABLE is the output of print_laws
"""
import csv
import sys

from fluids.fittings import Hooper2K
from fluids.friction import Churchill_1977, Colebrook

# The same equations coded by others: only rounding may differ.
SAME = 1e-9
# Another equation for the same pipe: what any sound formula must meet when turbulent.
# The turbulent part of Churchill's formula is an explicit approximation of Colebrook's.
SOUND = 0.025


def references(law, first, second):
    if law == "two_k":
        yield "Hooper2K", Hooper2K(Di=second / 0.0254, Re=first, K1=800.0, Kinfty=0.40), SAME
        return
    yield "Churchill_1977", Churchill_1977(first, second), SAME
    if first > 6000.0:
        yield "Colebrook", Colebrook(first, second), SOUND


def main():
    worst = {}
    failures = 0
    for law, first, second, value in csv.reader(open(sys.argv[1]), delimiter="\t"):
        if law not in ("churchill", "two_k"):
            continue
        for label, expected, allowed in references(law, float(first), float(second)):
            error = abs(float(value) / expected - 1.0)
            worst[label] = max(worst.get(label, 0.0), error)
            if not error <= allowed:
                failures += 1
                print(f"{law} at {first}, {second}: {value}, {label} says {expected!r}")
    if failures or not worst:
        print(f"friction: {failures} values disagree")
        return 1
    print("friction: all agree; worst relative errors "
          + ", ".join(f"{label} {error:.1e}" for label, error in sorted(worst.items())))
    return 0


sys.exit(main())
