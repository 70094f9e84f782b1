"""The command, called and read by the tests beside this file; LIBLOOP names the program.
"""

import json
import os
import pathlib
import subprocess

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = os.environ.get("LIBLOOP", str(ROOT / "build/release/bin/libloop"))
DENSE = str(ROOT / "examples/dense-280.toml")
THIN = str(ROOT / "examples/thin-240.toml")
SMALL = str(ROOT / "examples/small-fans-280.toml")
CUSTOM = str(ROOT / "examples/custom-loop.toml")
TWO_CHIPS = str(ROOT / "examples/bench-two-chips.toml")
BACK_FIRST = str(ROOT / "examples/stacked-back-first.toml")
FRONT_FIRST = str(ROOT / "examples/stacked-front-first.toml")
# The benches of the examples whose loops are joined in the file.
NETWORKS = {"custom-loop": TWO_CHIPS, "case-mesh": "thick-lid", "push-pull-280": "thick-lid",
            "stacked-back-first": "thick-lid", "stacked-front-first": "thick-lid"}
VERBS = ["new", "check", "predict", "warmup", "draw", "reduce", "forecast", "compare",
         "quantities"]
ANSWERS = ["rise_K", "coolant_rise_K", "coolant_flow_L_per_min", "air_flow_m3_per_h",
           "radiator_conductance_W_per_K", "noise_dBA"]


def call(*words, cwd=None, env=None):
    return subprocess.run([PROGRAM, *words], capture_output=True, text=True, cwd=cwd,
                          env={**os.environ, **(env or {})}, timeout=120)


def predict(*words):
    run = call("predict", *words, "--json", "--samples", "60")
    return json.loads(run.stdout)


def numbers(value):
    if isinstance(value, dict):
        return [n for v in value.values() for n in numbers(v)]
    if isinstance(value, list):
        return [n for v in value for n in numbers(v)]
    return [value] if isinstance(value, float) else []
