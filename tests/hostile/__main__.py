"""Runs cases and counts them by class; exit status 1 where one has a fault.

python -m tests.hostile [--seed S] [--first N] [--cases N] [--only CLASS] [--processes N] [--ledger FILE]

A case is its seed and its number, so that a long campaign can be run in slices; with --ledger what an earlier run has
judged is not run again. Each fault is printed with the smallest case found that shows it.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
import os
import sys
import tempfile
import time
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from contextlib import redirect_stdout
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from tqdm import tqdm

from renders import cli
from tests.hostile.classes import CLASSES, case_of
from tests.hostile.run import played
from tests.hostile.shrink import shrunk
from tests.hostile.usage import usages
from tests.hostile.verdict import faults, kind_of

SEED = 1


@dataclass(frozen=True)
class Judged:
    """What one case came to: how it ended, what is wrong, and the smallest case that shows it."""

    number: int
    kind: str
    ended: str
    faults: tuple[str, ...]
    shown: str = ""
    new: bool = False
    cpu_s: float = 0.0


def judged(number: int, *, seed: int, only: str = "") -> Judged:
    """Runs a case and, where it has a fault, ever smaller ones."""
    case = case_of(seed, number, only)
    result = played(case)
    found = tuple(faults(result))
    if result.outcome is None:
        return Judged(number, case.kind, f"skipped: {result.skipped}", found)
    status = result.outcome.status
    ended = "hung" if status is None else ("killed" if status < 0 else str(status))
    shown = ""
    if found:
        kinds = {kind_of(fault) for fault in found}
        fails = lambda smaller: bool(kinds & {kind_of(fault) for fault in faults(played(smaller))})  # noqa: E731
        shown = str(shrunk(case, fails) if case.event is None and "hang" not in kinds else case)
    return Judged(number, case.kind, ended, found, shown, case.new, result.outcome.cpu_s)


def warm_up() -> None:
    """Every command runs once, so that what it needs is loaded before the first child is split off."""
    before = os.getcwd()
    with tempfile.TemporaryDirectory() as folder, open(os.devnull, "w") as nowhere, redirect_stdout(nowhere):
        os.chdir(folder)
        for usage in usages():
            example = usage.examples[0]
            cli.main([usage.command, *(word for argument in example for word in argument)])
        os.chdir(before)


def campaign(numbers: Iterable[int], *, seed: int, only: str, processes: int, ledger: Path | None) -> Iterator[Judged]:
    """Judges cases in several processes, those that the ledger holds left out."""
    known = {} if ledger is None or not ledger.exists() else _read(ledger, seed, only)
    yield from (known[number] for number in numbers if number in known)
    wanted = [number for number in numbers if number not in known]
    one = partial(judged, seed=seed, only=only)
    with multiprocessing.get_context("fork").Pool(processes) as pool:
        for found in pool.imap_unordered(one, wanted):
            if ledger is not None:
                with ledger.open("a", encoding="utf-8") as file:
                    file.write(json.dumps({"seed": seed, "only": only, **vars(found)}) + "\n")
            yield found


def _read(ledger: Path, seed: int, only: str) -> dict[int, Judged]:
    rows = [json.loads(line) for line in ledger.read_text(encoding="utf-8").splitlines()]
    found = [Judged(**row) for row in rows if (row.pop("seed"), row.pop("only")) == (seed, only)]
    return {each.number: each for each in found}


def table(found: Sequence[Judged]) -> str:
    """Counts by class: how cases ended, and those with faults by their kind."""
    ends = ("0", "2", "1", "130", "killed", "skipped", "other")
    lines = [f"{'class':<16}{'cases':>7}" + "".join(f"{end:>8}" for end in ends) + "   cpu s  faults"]
    rows: dict[str, list[Judged]] = defaultdict(list)
    for each in found:
        rows[each.kind].append(each)
    for kind, some in [*((kind, rows[kind]) for kind in CLASSES if kind in rows), ("all", list(found))]:
        ended = Counter(e if (e := each.ended.split(":")[0]) in ends else "other" for each in some)
        kinds = Counter(kind_of(fault) for each in some for fault in each.faults)
        wrong = ", ".join(f"{name} {count}" for name, count in kinds.most_common()) or "none"
        mean_s = sum(each.cpu_s for each in some) / max(1, len(some))
        counts = "".join(f"{ended[end]:>8}" for end in ends)
        lines.append(f"{kind:<16}{len(some):>7}{counts}{mean_s:>8.2f}  {wrong}")
    return "\n".join(lines)


def main(argv: Sequence[str] | None = None) -> int:
    """Command line."""
    parser = argparse.ArgumentParser(prog="python -m tests.hostile", description=__doc__.splitlines()[0])
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--first", type=int, default=0, help="number of the first case")
    parser.add_argument("--cases", type=int, default=10_000)
    parser.add_argument("--only", default="", choices=tuple(CLASSES), metavar="CLASS", help=", ".join(CLASSES))
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--ledger", type=Path, help="a file that keeps what was judged")
    given = parser.parse_args(argv)
    start = time.perf_counter()
    numbers = range(given.first, given.first + given.cases)
    with tempfile.TemporaryDirectory(prefix="hostile-cache-") as kept:
        os.environ.setdefault("VOCALTRACT_CACHE", kept)
        warm_up()
        found = []
        made = campaign(numbers, seed=given.seed, only=given.only, processes=given.processes, ledger=given.ledger)
        for each in tqdm(made, total=len(numbers), unit="case", disable=None):
            found.append(each)
            if each.faults:
                tqdm.write("\n".join([each.shown, *(f"  -> {fault}" for fault in each.faults)]), file=sys.stdout)
                sys.stdout.flush()
    print(table(found))
    for reason, count in Counter(each.ended for each in found if each.ended.startswith("skipped")).items():
        print(f"{count} {reason}")
    new = sum(each.new for each in found)
    wrong = sum(bool(each.faults) for each in found)
    print(
        f"{len(found)} cases, {new} of them in new processes, {wrong} with faults, {time.perf_counter() - start:.0f} s"
    )
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
