"""Ratios of one run: the library against the SciPy peer, slopes against differences.

Writes docs/performance.md with --accept. Timings never pass or fail a test.
"""

import datetime
import json
import os
import pathlib
import platform
import statistics
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
BIN = ROOT / "build/release/bin"
ROUNDS = 5


def benchmarks():
    """Median time of each benchmark, in seconds."""
    run = subprocess.run(
        [BIN / "libloop_speed", f"--benchmark_repetitions={ROUNDS}", "--benchmark_format=json",
         "--benchmark_min_time=0.2", "--benchmark_report_aggregates_only=true"],
        capture_output=True, text=True, check=True)
    scale = {"ns": 1e-9, "us": 1e-6, "ms": 1e-3}
    return {row["run_name"]: row["real_time"] * scale[row["time_unit"]]
            for row in json.loads(run.stdout)["benchmarks"] if row["aggregate_name"] == "median"}


def peer():
    """Median time of one operating point in the SciPy peer, in seconds."""
    with tempfile.NamedTemporaryFile("w", suffix=".jsonl") as cases:
        subprocess.run([BIN / "dump_case"], stdout=cases, check=True)
        environment = {k: v for k, v in os.environ.items() if not k.startswith("OPENBLAS_")}
        environment["OPENBLAS_NUM_THREADS"] = "1"
        run = subprocess.run(
            ["/usr/bin/python3", ROOT / "tests/peer/peer.py", "--time", cases.name],
            capture_output=True, text=True, check=True, env=environment)
    return float(run.stdout.split()[-1])


def warmups():
    """Times of 20 minutes of warm-up by cooler, tolerance and who, in seconds; rows of the check
    against CVODE; whether all held."""
    run = subprocess.run([BIN / "libloop_warmup_speed"], capture_output=True, text=True)
    if run.returncode not in (0, 1):
        sys.exit(run.stderr or "libloop_warmup_speed failed")
    lines = [line.split("\t") for line in run.stdout.splitlines()]
    times = {(cooler, float(tolerance), who): [float(median), *map(int, counts)]
             for kind, cooler, tolerance, who, median, _, *counts in
             (line for line in lines if line[0] == "time" and line[1] != "cooler")}
    checks = [line[1:] for line in lines if line[0] == "check" and line[1] != "cooler"]
    return times, checks, run.returncode == 0


def warmup_peer():
    """Time of the same in the SciPy peer, in seconds, for a cooler of as many fans and passes as
    dense-280; None where there is no peer."""
    program = ROOT / "tests/peer/warmup.py"
    if not program.exists():
        return None
    every = subprocess.run([BIN / "dump_case"], capture_output=True, text=True, check=True).stdout
    with tempfile.NamedTemporaryFile("w", suffix=".jsonl") as case:
        case.write("".join(line + "\n" for line in every.splitlines()
                           if json.loads(line)["name"] == "class 240"))
        case.flush()
        environment = {k: v for k, v in os.environ.items() if not k.startswith("OPENBLAS_")}
        environment["OPENBLAS_NUM_THREADS"] = "1"
        run = subprocess.run(["/usr/bin/python3", program, "--time", case.name],
                             capture_output=True, text=True, check=True, env=environment)
    return float(run.stdout.split()[-1])


def warmup_tables(times, checks):
    """Two tables: who takes how long, and how far each is from CVODE at 1e-8."""
    lines = ["| cooler | tolerance | who | ms | steps | evaluations | slopes |",
             "|---|---|---|---|---|---|---|"]
    lines += [f"| {cooler} | {tolerance:.0e} | {who} | {two(seconds * 1e3)} | {steps} "
              f"| {evaluations} | {slopes} |"
              for (cooler, tolerance, who), (seconds, steps, _, evaluations, slopes)
              in times.items()]
    lines += ["", "| cooler | fans | tolerance | libloop | CVODE | rosenbrock4 |",
              "|---|---|---|---|---|---|"]
    lines += ["| " + " | ".join(check[:-1]) + " |" for check in checks]
    return "\n".join(lines)


FORECASTS = """## Forecasts

Logs of `examples/dense-280.toml` at 180 W, its fans at 100, 50 and 30 %, from full warm-ups whose
quantities are all drawn anew from their ranges: 1 Hz, white noise or one that fades within 5 s,
rounded to 1 K or 0.1 K, cut off after so many of the loop's slow time constants; 80 loops a row. `rmse`, `bias`: median of the
forecast less how the log ends. `half width`: of the 5 to 95 % interval, on average. `inside`: how
often the end lies in it; `above`: beyond its upper end. `stop`: verdicts to stop at 0.5 K wanted.
[How](theory/forecast.md). The truth comes from the same laws as the courses of the first four rows
each; of a real loop expect somewhat worse."""


def forecasts():
    """A table: forecasts of simulated logs against how these end."""
    return subprocess.run([BIN / "libloop_forecast_study"], capture_output=True, text=True,
                          check=True, cwd=ROOT).stdout


def random_solves():
    """Rows of a table: random coolers and loops, how they ended, in how many steps."""
    run = subprocess.run([BIN / "libloop_random"], capture_output=True, text=True, check=True)
    rows = []
    for line in run.stdout.splitlines():
        kind, count, *reasons, steps, not_finite = line.split("\t")
        ended = "; ".join(f"{int(times):,} {reason.replace('_', ' ')}"
                          for reason, times in (r.split() for r in reasons))
        median, most_but_few, most = steps.split()[1:]
        rows.append(f"| {int(count):,} {kind} | {ended} | {median} | {most_but_few} | {most} "
                    f"| {not_finite.split()[-1]} |")
    return rows


def process():
    """Median wall time of one predicted point as a process, in seconds."""
    command = [BIN / "libloop", "predict", ROOT / "examples/dense-280.toml", "--load", "180",
               "--bench", ROOT / "examples/bench-invented.toml", "--ambient", "23"]
    times = []
    for _ in range(15):
        start = time.perf_counter()
        subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=True)
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def processor():
    for line in pathlib.Path("/proc/cpuinfo").read_text().splitlines():
        if line.startswith("model name"):
            return line.split(":", 1)[1].strip()
    return platform.machine()


def two(value):
    return f"{value:.2g}" if value < 100 else f"{float(f'{value:.2g}'):.0f}"


def growth(graphs):
    """A table: shapes across, numbers of elements down."""
    cells = {}
    for name, seconds in graphs.items():
        _, shape, elements = name.split("/")
        cells.setdefault(int(elements), {})[shape] = two(seconds * 1e6)
    shapes = list(next(iter(cells.values())))
    lines = ["| elements | " + " | ".join({"parallel": "bundle"}.get(s, s) for s in shapes) + " |",
             "|---" * (len(shapes) + 1) + "|"]
    lines += [f"| {elements:,} | " + " | ".join(row[s] for s in shapes) + " |"
              for elements, row in sorted(cells.items())]
    return "\n".join(lines)


def main():
    every, python = benchmarks(), peer()
    graphs = {name: seconds for name, seconds in every.items() if name.startswith("solve_graph")}
    times = {name: seconds for name, seconds in every.items() if name not in graphs}
    rows = [
        ("cold operating point, geometry included, over the SciPy peer",
         two(python / times["cold_point"]) + " x faster", "100 x"),
        ("exact slopes of all answers by all quantities, over central differences",
         two(times["central_differences"] / times["slopes"]) + " x faster", "10 x"),
        ("a predicted point with its interval, as a process", two(process() * 1e3) + " ms",
         "50 ms"),
    ]
    warm, checks, held = warmups()
    warm_python = warmup_peer()
    own = warm["dense-280", 1e-4, "libloop"][0]
    others = {who: row[0] for (cooler, tolerance, who), row in warm.items()
              if (cooler, tolerance) == ("dense-280", 1e-4)}
    cvode = min(seconds for who, seconds in others.items() if who.startswith("cvode"))
    rows += [
        ("20 minutes of warm-up, 1 Hz, over CVODE on the same equations",
         two(cvode / own) + " x faster", "1 x"),
        ("the same over Boost.Odeint's rosenbrock4",
         two(others["odeint rosenbrock4"] / own) + " x faster", "1 x"),
        ("the same over the SciPy peer",
         "peer missing" if warm_python is None else two(warm_python / own) + " x faster", "50 x"),
    ]
    for what, got, goal in rows:
        print(f"{what}: {got} (goal {goal})")
    print(f"peer {python * 1e3:.3g} ms")
    for name, seconds in every.items():
        print(f"{name} {seconds * 1e6:.3g} us")
    print(warmup_tables(warm, checks))
    if not held:
        sys.exit("a warm-up is further from CVODE's than its tolerance allows")
    wide = random_solves()
    print("\n".join(wide))
    if "--accept" not in sys.argv:
        return
    peer_time = "missing" if warm_python is None else f"{two(warm_python * 1e3)} ms, 1e-4"
    table = "\n".join(f"| {what} | {got} | {goal} |" for what, got, goal in rows)
    absolute = "\n".join(f"| {name.replace('_', ' ')} | {two(seconds * 1e6)} us |"
                         for name, seconds in times.items())
    (ROOT / "docs/performance.md").write_text(f"""# Performance

`tests/speed/run` measures; `tests/speed/run --accept` rewrites this page. Only the ratios,
taken in one run, mean anything; the machine is shared and noisy. Timings are never part of
a test.

| what | measured | goal |
|---|---|---|
{table}

One run on {datetime.date.today().isoformat()}, {processor()}, 2 cores, g++ -O3; the peer is
`tests/peer` (numpy and SciPy, {python * 1e3:.2g} ms an operating point, same tolerance, one
thread). Case: `examples/dense-280.toml` on `examples/bench-invented.toml` at 180 W.

| piece | time |
|---|---|
{absolute}

## Any graph

Flows and temperatures from a cold start, microseconds against the number of elements (half
of them coolant, half the walls it warms). A chain is one ring; in a bundle all branches run
side by side; a ladder has a loop for every three branches. Below some 140 unknowns the
equations are solved dense, above sparse.

{growth(graphs)}

## Warm-up

20 minutes from ambient at 180 W with 4 cells, rise and coolant rise at 1 Hz; processor time,
medians of rounds in which everybody takes his turn. CVODE (SUNDIALS: BDF, dense, with our
exact slopes or its own differences, of order 5 or 4; the quickest counts above) and
Boost.Odeint's rosenbrock4 (exact slopes) get only the temperatures of what stores heat; what
follows at once is found at every call, in one or two evaluations. Ours solves all together.
Tolerance is over a temperature's distance from ambient, of 1 K at least; ours counts the worst
of everything, the others the root of the mean square. The SciPy peer is
`tests/peer/warmup.py`, on a 240 of as many fans and passes: {peer_time}.

The second table says what that gives: the largest distance from CVODE at 1e-8, of rise and
coolant rise, in units of the tolerance. `tests/speed/run` fails where ours is above 10.

{warmup_tables(warm, checks)}

## Random coolers and loops

Every quantity over its whole range, loads to 400 W, fans and pumps from a standstill to
120 %, to 3,000 m. A chip that *runs away* has no operating point, which is proved by its gain;
*leakage law*: the drawn leakage would make a cold chip's power negative; *heat stays*: heat
of a part has less than 1 mW/K to leave by. *No convergence* is a failure of ours.

| what | how it ended | steps, median | 99.9 % | most | not finite |
|---|---|---|---|---|---|
{chr(10).join(wide)}

{FORECASTS}

{forecasts()}""")


main()
