"""Simulates the commonest words and 300 phrases and prints a table of faults; exit status 1 where there is one.

python -m tests.sweep [--count N] [--skip N] [--spread] [--words WORD ...] [--phrases] [--rate R]
"""

from __future__ import annotations

import argparse
import sys
import time
from collections import Counter
from collections.abc import Sequence

from tqdm import tqdm

from articulators.errors import BadInput
from tests.sweep import faults as looked
from tests.sweep.faults import COMMONEST, Fault
from vocaltract.motion.timeline import timeline
from vocaltract.words.text.transcribe import read


def main(argv: Sequence[str] | None = None) -> int:
    """Command line."""
    parser = argparse.ArgumentParser(prog="python -m tests.sweep", description=__doc__)
    parser.add_argument("--count", type=int, default=COMMONEST, help=f"how many words (default: {COMMONEST})")
    parser.add_argument("--skip", type=int, default=0, help="leave out the commonest N")
    parser.add_argument("--spread", action="store_true", help="evenly spread instead of the commonest")
    parser.add_argument("--words", nargs="+", metavar="WORD", help="these words or phrases")
    parser.add_argument("--phrases", action="store_true", help="the phrases alone")
    parser.add_argument("--rate", type=float, default=1.0, help="tempo, 0.5 to 2 (default: 1)")
    given = parser.parse_args(argv)
    if given.words:
        chosen: Sequence[str] = given.words
    elif given.phrases:
        chosen = looked.phrases()
    elif given.spread:
        chosen = looked.words()[given.skip :: max(1, COMMONEST // given.count)][: given.count]
    else:
        chosen = looked.words()[given.skip : given.skip + given.count]
        chosen += looked.phrases() if given.count >= COMMONEST else ()
    start, found = time.process_time(), []
    bar = tqdm(chosen, unit="word", disable=None)
    for word in bar:
        new = checked(word, given.rate)
        found += new
        for fault in new:
            tqdm.write(str(fault))
            sys.stdout.flush()
    kinds = Counter(fault.kind for fault in found)
    wrong = len({fault.word for fault in found})
    print(f"{len(chosen)} words, {wrong} with faults, {time.process_time() - start:.0f} s of processor time")
    for kind, count in kinds.most_common():
        print(f"  {kind:<24} {count}")
    return 1 if found else 0


def checked(word: str, rate: float = 1.0) -> tuple[Fault, ...]:
    """Faults of a word said by itself, or a phrase in running speech; one that cannot be simulated is a fault too."""
    try:
        said = read(word)
        made = timeline(said, style="citation" if len(said.words) == 1 else "connected", rate=rate)
    except BadInput as error:
        return (Fault(word, "not simulated", "", str(error)),)
    return looked.faults(word, made)


if __name__ == "__main__":
    sys.exit(main())
