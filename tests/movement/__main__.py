"""Prints peak speeds of 240 texts beside their limits; exit status 1 where one is passed.

python -m tests.movement [--texts TEXT ...] [--fastest N]
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence

from tqdm import tqdm

from tests.movement.figures import figures, outside, peaks, texts
from tests.reference.published import speed


def main(argv: Sequence[str] | None = None) -> int:
    """Command line."""
    parser = argparse.ArgumentParser(prog="python -m tests.movement", description=__doc__)
    parser.add_argument("--texts", nargs="+", metavar="TEXT", help="these words or phrases")
    parser.add_argument("--fastest", type=int, default=0, metavar="N", help="name the N fastest texts of each point")
    given = parser.parse_args(argv)
    every = [peaks(text) for text in tqdm(given.texts or texts(), unit="text", disable=None)]
    found = figures(every)
    wrong = outside(found)
    for key, value in found.items():
        limit = speed(key)
        allowed = f"{limit.low or 0:g} to {limit.high:g}"
        print(f"{key:<24} {value:7.1f}  {allowed:<12} {limit.unit}{'  OUTSIDE' if key in wrong else ''}")
    for point in every[0].mm_s if given.fastest else ():
        named = sorted(every, key=lambda one: -one.mm_s[point])[: given.fastest]
        print(f"{point}: " + ", ".join(f"{one.text} {one.mm_s[point]:.0f}" for one in named))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
