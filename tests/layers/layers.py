"""The order of layers: an include may only point to layers to the left of its own.

Reads the list from libloop/CMakeLists.txt. Also refuses names that the page's later
compiler lacks, and names of heavy libraries in public headers.
"""

import pathlib
import re
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]
SIBLINGS = {frozenset(("fluid", "network"))}
ABSENT = ["std::ranges", "std::source_location", "<source_location>", "bit_cast", "jthread",
          "std::from_chars"]


def layers():
    text = (ROOT / "libloop/CMakeLists.txt").read_text()
    return re.search(r"set\(LIBLOOP_LAYERS ([^)]*)\)", text).group(1).split()


def main():
    order = layers()
    faults = []
    files = 0
    for base in ("include/libloop", "libloop"):
        for path in sorted((ROOT / base).rglob("*.[ch]pp")):
            files += 1
            own = path.relative_to(ROOT / base).parts[0]
            text = path.read_text()
            if own not in order:
                faults.append(f"{path}: folder '{own}' is no layer")
                continue
            for other in re.findall(r'#include "libloop/(\w+)/', text):
                if order.index(other) > order.index(own):
                    faults.append(f"{path}: {own} includes {other}, which lies to the right")
                if frozenset((own, other)) in SIBLINGS:
                    faults.append(f"{path}: {own} and {other} know nothing of each other")
            for name in ABSENT:
                if name in text:
                    faults.append(f"{path}: uses {name}")
    print("\n".join(faults) or f"{files} files keep the order {' -> '.join(order)}")
    return 1 if faults or files < 50 else 0


sys.exit(main())
