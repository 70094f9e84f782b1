#!/usr/bin/python3
"""A second solution of a cooler's operating point, written from docs/theory.

usage: peer.py CASES [RISE]     compares with the answers in CASES, the output of dump_case;
                                RISE is what the rise may differ by, relative, if not as the rest
       peer.py --time CASES     seconds for one operating point, warm, geometry included

Where libloop solves one network for all its temperatures at once, this solves few unknowns:
the flows and the temperatures at which properties are taken. Between them stands one linear
system: streams by closed exponential laws from piece to piece, the chip by its resistances.
"""
import json
import math
import statistics
import sys
import time

import numpy as np

from loop import Problem

AGREE = 1e-7
TOLERANCE = 1e-10


def newton(problem, tolerance=TOLERANCE, most=60):
    """Newton's method. All columns of a Jacobian come from one evaluation of many sets at once;
    it is kept while it serves well."""
    y = problem.start()
    count, flows = len(y), 1 + problem.fans
    step = 1e-6 * problem.scale
    sets = np.zeros((count + 1, count))
    sets[np.arange(1, count + 1), np.arange(count)] = step
    inverse, last = None, math.inf
    for _ in range(most):
        f = problem.evaluate(y + sets if inverse is None else y[None, :])
        if inverse is None:
            inverse = np.linalg.inv((f.residual[1:] - f.residual[0]).T / step)
        move = -inverse @ f.residual[0]
        size = max(abs(move[:flows] / y[:flows]).max(), abs(move[flows:]).max() / 10.0)
        if size < tolerance:
            return f
        y = y + min(1.0, 0.5 / size) * move
        if size > 0.03 * last or size > 0.1:
            inverse = None
        last = size
    raise ArithmeticError("no operating point found")


def solve(case):
    """The operating point of one case: answers by name, SI."""
    problem = Problem(case)
    return problem.answers(newton(problem))


def read(path):
    with open(path) as lines:
        return [json.loads(line) for line in lines]


def differences(case, answer):
    expected = dict(case["answer"], hottest=np.array(case["hottest"]))
    return {name: float(np.max(abs(answer[name] / expected[name] - 1.0))) for name in answer}


def compare(cases, rise=AGREE):
    allowed = {"rise": rise, "hottest": rise}
    worst, failures = {}, 0
    for case in cases:
        by_name = differences(case, solve(case))
        for name, difference in by_name.items():
            if difference > worst.get(name, (-1.0, ""))[0]:
                worst[name] = (difference, case["name"])
        bad = {name: d for name, d in by_name.items() if not d <= allowed.get(name, AGREE)}
        if bad or not case["usable"]:
            failures += 1
            print(f"{case['name']}: " + ", ".join(f"{name} {d:.1e}" for name, d in bad.items()))
    print("worst relative difference: "
          + ", ".join(f"{name} {d:.1e} ({case})" for name, (d, case) in worst.items()))
    print(f"peer: {len(cases) - failures} passed, {failures} failed")
    return 1 if failures else 0


def median_time(cases, least=1.0):
    for case in cases:
        solve(case)
    times, begin = [], time.perf_counter()
    while time.perf_counter() - begin < least or len(times) < 2 * len(cases):
        for case in cases:
            start = time.perf_counter()
            solve(case)
            times.append(time.perf_counter() - start)
    return statistics.median(times)


def main(arguments):
    if len(arguments) == 2 and arguments[0] == "--time":
        print(f"{median_time(read(arguments[1])):.6g}")
        return 0
    if len(arguments) in (1, 2) and not arguments[0].startswith("-"):
        return compare(read(arguments[0]), *map(float, arguments[1:]))
    print(__doc__, file=sys.stderr)
    return 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
