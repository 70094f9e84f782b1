"""docs/validation.md against the table that the unit tests wrote.

    validation.py TABLE.tsv            compares
    validation.py TABLE.tsv --accept   rewrites the page
"""

import pathlib
import sys

PAGE = pathlib.Path(__file__).resolve().parents[2] / "docs/validation.md"
HEAD = """# Validation

What the library was checked against outside itself, written by the unit tests; a test
fails when this page is out of date (`python3 tests/docs/validation.py
build/release/tests/validation.tsv --accept` renews it). "From memory" and "known through a
transcription" are said where they apply; facts of the trade are marked "common practice, no
source". The tolerance is relative; a range says low to high.

Beyond this table, the tests compare water with python3-iapws, friction and the atmosphere
with python3-fluids (`tests/oracle`), and whole operating points with a second, independent
solution in SciPy (`tests/peer`).

"""


def page(table):
    rows = [line.split("\t") for line in table.read_text().splitlines()]
    lines = ["| " + " | ".join(rows[0]) + " |", "|" + "---|" * len(rows[0])]
    for row in rows[1:]:
        lines.append("| " + " | ".join(cell.replace("|", "\\|") for cell in row) + " |")
    return HEAD + "\n".join(lines) + "\n"


def main():
    fresh = page(pathlib.Path(sys.argv[1]))
    if "--accept" in sys.argv:
        PAGE.write_text(fresh)
    stored = PAGE.read_text() if PAGE.exists() else ""
    if stored == fresh:
        print(f"{len(fresh.splitlines())} lines, up to date")
        return 0
    old, new = set(stored.splitlines()), set(fresh.splitlines())
    for line in sorted(new - old)[:20]:
        print("+", line)
    for line in sorted(old - new)[:20]:
        print("-", line)
    return 1


sys.exit(main())
