"""Measures everything and prints each figure beside its limit; exit status 1 where one falls short."""

from __future__ import annotations

import os
import sys
import time

from tests.benchmarks import films, geometry, lesson, page, recordings, speakers, speech, start_up

BENCHMARKS = (start_up, speech, geometry, speakers, films, recordings, lesson, page)


def main() -> int:
    """Runs every benchmark; one that fails counts as falling short, and the others still run."""
    print(
        f"Python {sys.version.split()[0]}, {os.cpu_count()} cores, busy with {os.getloadavg()[0]:.1f} before"
    )
    start = time.perf_counter()
    short = 0
    for benchmark in BENCHMARKS:
        try:
            for figure in benchmark.measure():
                print(figure, flush=True)
                short += figure.short
        except Exception as error:
            print(f"{benchmark.__name__.rsplit('.', 1)[-1]}: not measured: {error}", flush=True)
            short += 1
    print(f"{short} short of their limits, {time.perf_counter() - start:.0f} s in all")
    return 1 if short else 0


if __name__ == "__main__":
    sys.exit(main())
