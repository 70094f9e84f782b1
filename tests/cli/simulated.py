"""Invented logs and tables for the tests of the command: a loop of two time constants, with
noise that hangs together and readings that are rounded. The seed makes them the same each time.
"""

import math
import random

AMBIENT = 22.0


def course(load, fan, before=0.0, seconds=900, ambient=AMBIENT, seed=1, rounding=0.1, noise=0.15):
    """Rise, second by second, from the rise before."""
    settled = rise(load, fan)
    dice = random.Random(seed)
    ar = 0.0
    for second in range(seconds):
        left = 0.3 * math.exp(-second / 4.0) + 0.7 * math.exp(-second / 80.0)
        ar = 0.6 * ar + dice.gauss(0.0, 0.8 * noise)
        true = settled + (before - settled) * left
        yield round((ambient + true + ar) / rounding) * rounding


def rise(load, fan):
    """Settled rise in K; ours, of nobody's cooler."""
    return load * (0.10 + 0.07 / fan)


def log(steps, seconds=900, ambient=AMBIENT, seed=1, rated=1500, **more):
    """A log of steps (load in W, share of the fans' rated speed), as text."""
    dice = random.Random(seed + 1000)
    lines = ["time [s],chip [C],ambient [C],load [W],fan [rpm]"]
    before, at = 0.0, 0
    for number, (load, fan) in enumerate(steps):
        for chip in course(load, fan, before, seconds, ambient, seed + number, **more):
            air = round(ambient + dice.gauss(0.0, 0.05), 1)
            power = round(load * (1 + dice.gauss(0.0, 0.003)), 1)
            lines.append(f"{at},{chip:.1f},{air},{power},{rated * fan + dice.gauss(0, 5):.0f}")
            at += 1
        before = rise(load, fan)
    return "\n".join(lines) + "\n"


def table(coolers, loads=(90, 180), fans=(40, 60, 80, 100), mounts=2, seed=1, scatter=0.1):
    """A measured table of coolers {title: (K/W more than the first, dBA more)}, as text."""
    dice = random.Random(seed)
    lines = ["cooler,load [W],fan [%],rise [K],u [K],noise [dBA],mount,price"]
    for title, (resistance, level) in coolers.items():
        for mount in range(1, mounts + 1):
            for load in loads:
                for fan in fans:
                    value = rise(load, fan / 100) + resistance * load + dice.gauss(0.0, scatter)
                    sound = 20 + level + 50 * math.log10(fan / 40)
                    lines.append(f"\"{title}\",{load},{fan},{value:.2f},{scatter},{sound:.1f},"
                                 f"{mount},{60 + 10 * len(title)} EUR")
    return "\n".join(lines) + "\n"
