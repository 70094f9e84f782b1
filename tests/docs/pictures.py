"""The pictures of the documentation are what the command draws today.

    pictures.py             compares docs/pictures with what is drawn
    pictures.py --accept    draws them anew
"""

import os
import pathlib
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
LIBLOOP = os.environ.get("LIBLOOP", str(ROOT / "build/release/bin/libloop"))
KEPT = ROOT / "docs/pictures"
INVENTED = ["--picture-note", "All coolers are invented."]
LOG = "examples/log-dense-280.csv"
COMPARE = ["compare", "examples/forty-coolers.csv", "--load", "180", "--at-noise", "30",
           "--reference", "Invented plain deep 280", "--under-test", "Invented blue deep 280",
           *INVENTED]
DRAWN = {
    "ranking.svg": [*COMPARE, "--picture"],
    "noise.svg": [*COMPARE, "--best", "6", "--noise-picture"],
    "log.svg": ["reduce", LOG, *INVENTED, "--picture"],
    "forecast.svg": ["forecast", LOG, "--cooler", "examples/dense-280.toml", "--bench",
                     "examples/bench-invented.toml", *INVENTED, "--picture"],
}


def draw(folder):
    for name, words in DRAWN.items():
        run = subprocess.run([LIBLOOP, *words, str(folder / name)], cwd=ROOT,
                             capture_output=True, text=True)
        if run.returncode != 0:
            sys.exit(f"{name}: {run.stderr}")


def main():
    if "--accept" in sys.argv:
        KEPT.mkdir(exist_ok=True)
        draw(KEPT)
        return
    with tempfile.TemporaryDirectory() as folder:
        draw(pathlib.Path(folder))
        stale = [name for name in DRAWN
                 if not (KEPT / name).exists()
                 or (KEPT / name).read_bytes() != (pathlib.Path(folder) / name).read_bytes()]
    if stale:
        sys.exit(f"{', '.join(stale)}: not what is drawn today; look, then "
                 "python3 tests/docs/pictures.py --accept")
    print(f"{len(DRAWN)} pictures up to date")


main()
