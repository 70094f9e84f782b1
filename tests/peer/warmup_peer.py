#!/usr/bin/python3
"""Compares warm-ups with the second solution.

usage: warmup_peer.py SERIES [ALLOWED]     SERIES is the output of dump_case --warmup: cases with
                                           cells, duration, times, rise and coolant_rise; ALLOWED
                                           (K) is what a temperature may differ by at any time

Both are solved to a tight tolerance, so that what is left is a difference of equations.
"""
import sys

import numpy as np

from peer import read
from warmup import warmup

TOLERANCE = 1e-7
ALLOWED = 5e-5  # K


def differences(case):
    """Largest difference of each series, and when; times not reached count as endless."""
    times, rise, coolant_rise, _ = warmup(case, case["cells"], case["duration"], TOLERANCE)
    if not case["followed"] or not np.array_equal(times, case["times"]):
        return {"time covered": (np.inf, len(case["times"]) - 1.0)}
    found = {}
    for name, series in (("rise", rise), ("coolant_rise", coolant_rise)):
        apart = abs(series - case[name])
        at = int(np.argmax(np.where(np.isfinite(apart), apart, np.inf)))
        found[name] = (float(apart[at]), float(times[at]))
    return found


def compare(cases, allowed):
    worst, failures = {}, 0
    for case in cases:
        by_name = differences(case)
        for name, (apart, at) in by_name.items():
            if not apart <= worst.get(name, (-1.0,))[0]:
                worst[name] = (apart, at, case["name"])
        bad = {name: d for name, d in by_name.items() if not d[0] <= allowed}
        if bad:
            failures += 1
            print(f"{case['name']}: " + ", ".join(f"{name} {apart:.1e} K at {at:.0f} s"
                                                  for name, (apart, at) in bad.items()))
    print("largest difference: " + ", ".join(f"{name} {apart:.1e} K at {at:.0f} s ({case})"
                                             for name, (apart, at, case) in worst.items()))
    print(f"warm-ups: {len(cases) - failures} passed, {failures} failed")
    return 1 if failures or not cases else 0


def main(arguments):
    if len(arguments) in (1, 2) and not arguments[0].startswith("-"):
        return compare(read(arguments[0]), float(arguments[1]) if len(arguments) == 2 else ALLOWED)
    print(__doc__, file=sys.stderr)
    return 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
