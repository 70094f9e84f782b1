"""A log of 200 MB is reduced in less than 100 MB of memory, and no row of it is lost.

python3 tests/cli/large_log.py; LIBLOOP names the program, MEGABYTES another size. A build under
sanitizers is left out: it takes memory of its own.
"""

import os
import pathlib
import resource
import subprocess
import sys
import tempfile

from program import PROGRAM

MEGABYTES = int(os.environ.get("MEGABYTES", "200"))
MOST_KILOBYTES = 100 * 1000
HEADING = "Date;Time;Chip [°C];Room [°C];Power [W];Fan [rpm]\n"


def rows(first, count):
    """Invented readings, two a second, with a decimal comma; the load changes every four hours."""
    lines = []
    for i in range(first, first + count):
        second, half = divmod(i, 2)
        day, second = divmod(second, 86400)
        month, day = divmod(day, 28)
        hour, second = divmod(second, 3600)
        load = 90 if (i // 28800) % 2 == 0 else 180
        chip = 250 + load + (i * 7919) % 11
        lines.append(f"{day + 1:02d}.{month + 1:02d}.2024;{hour:02d}:{second // 60:02d}:"
                     f"{second % 60:02d},{5 * half}00;{chip // 10},{chip % 10};"
                     f"21,{(i * 104729) % 10};{load},{i % 3};1{(i % 5) + 195}\n")
    return "".join(lines)


def write(path):
    """The number of rows; in pieces, so that this process stays small."""
    written, count = 0, 0
    with open(path, "w", encoding="utf-8", newline="") as file:
        file.write(HEADING)
        while written < MEGABYTES * 1000 * 1000:
            # Months of 28 days leave dates that the calendar has, but with gaps.
            text = rows(count, 20000)
            file.write(text)
            written += len(text)
            count += 20000
    return count


def is_sanitized():
    return b"__asan_init" in pathlib.Path(PROGRAM).read_bytes()


def main():
    if is_sanitized():
        print("left out: built under sanitizers")
        return
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder) / "large.csv"
        count = write(path)
        run = subprocess.run([PROGRAM, "reduce", str(path), "--json"], capture_output=True,
                             text=True, timeout=600)
        peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    print(f"{MEGABYTES} MB, {count} rows: peak {peak / 1000:.0f} MB")
    if run.returncode != 0:
        sys.exit(f"reduce ended with {run.returncode}: {run.stderr}")
    if peak >= MOST_KILOBYTES:
        sys.exit(f"more than {MOST_KILOBYTES / 1000:.0f} MB")
    if f"{count}" not in run.stdout + run.stderr:
        sys.exit(f"the answer does not say that {count} rows were read")


if __name__ == "__main__":
    main()
