"""Every public header compiles alone and reaches no heavy library."""

import os
import pathlib
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]
HEAVY = ["/eigen3/", "/boost/", "/toml", "/CLI/", "/pybind11/", "/nlohmann/", "/fmt/",
         "/csv.h"]


def main():
    compiler = os.environ.get("CXX", "g++")
    faults = []
    headers = sorted((ROOT / "include").rglob("*.hpp"))
    for header in headers:
        run = subprocess.run(
            [compiler, "-std=c++20", "-M", "-I", str(ROOT / "include"), "-x", "c++", str(header)],
            capture_output=True, text=True)
        if run.returncode != 0:
            faults.append(f"{header}: {run.stderr.strip()}")
            continue
        for heavy in HEAVY:
            if heavy in run.stdout:
                faults.append(f"{header}: reaches {heavy}")
        check = subprocess.run(
            [compiler, "-std=c++20", "-fsyntax-only", "-Wall", "-Wextra", "-I",
             str(ROOT / "include"), "-x", "c++", str(header)],
            capture_output=True, text=True)
        real = [line for line in check.stderr.splitlines() if "pragma once in main" not in line]
        if check.returncode != 0:
            faults.append(f"{header}: does not compile alone\n" + "\n".join(real))
    print("\n".join(faults) or f"{len(headers)} public headers stand alone and are light")
    return 1 if faults or not headers else 0


sys.exit(main())
