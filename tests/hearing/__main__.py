"""Every figure of both measures, with the misheard words; exit status 1 where a limit is missed.

python -m tests.hearing [--only first|spread|pairs|recogniser ...]
"""

from __future__ import annotations

import argparse
import sys
import tomllib
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from articulators.curves import Array
from tests.hearing import outside_voices, recogniser, templates
from vocaltract.sound.sound_rules import sound_rules
from vocaltract.sound.spoken import spoken
from vocaltract.speech import say

TABLE = tomllib.loads(Path(__file__).with_name("words.toml").read_text(encoding="utf-8"))
LISTS = {name: tuple(TABLE[name].split()) for name in ("first", "spread")}
PAIRS = tuple((a, b) for a, b in (pair.split("/") for pair in TABLE["pairs"].split()))
PARTS = ("first", "spread", "pairs", "recogniser")
SEEDS = range(5)


def model(word: str) -> tuple[Array, int]:
    """A word as the model says it, and the rate of its samples in Hz."""
    return spoken(say(word)), sound_rules().sampling.rate_hz


def main(argv: Sequence[str] | None = None) -> int:
    """Command line."""
    parser = argparse.ArgumentParser(prog="python -m tests.hearing", description=__doc__)
    parser.add_argument("--only", nargs="+", choices=PARTS, default=PARTS)
    asked = parser.parse_args(argv).only
    if not outside_voices.present():
        print(f"{outside_voices.PROGRAM} is not installed: nothing to compare with")
        return 1
    met = [_lists(name) for name in LISTS if name in asked]
    met += [_pairs()] if "pairs" in asked else []
    met += [_recognised()] if "recogniser" in asked else []
    return 0 if all(met) else 1


def _told(what: str, share: float, limit: float, wrong: object) -> bool:
    print(f"{what:24} {share:6.1%} (limit {limit:.1%}) misheard: {wrong or 'none'}", flush=True)
    return share >= limit


def _lists(name: str) -> bool:
    words = LISTS[name]
    wrong = templates.misheard(words, model)
    return _told(f"templates, {name} {len(words)}", 1 - len(wrong) / len(words), TABLE["limits"][name], wrong)


def _pairs() -> bool:
    wrong, count = templates.misheard_in_pairs(PAIRS, model), 2 * len(PAIRS)
    return _told(f"templates, {len(PAIRS)} pairs", 1 - len(wrong) / count, TABLE["limits"]["pairs"], wrong)


def _recognised() -> bool:
    words, outside = LISTS["first"], []
    for voice in outside_voices.VOICES:
        share, _ = recogniser.share_right(words, lambda word, by=voice: outside_voices.said(word, by), SEEDS)
        print(f"recogniser, {voice:12} {share:6.1%}", flush=True)
        outside.append(share)
    share, wrong = recogniser.share_right(words, model, SEEDS)
    limit = TABLE["limits"]["recogniser_over_outside"] * float(np.mean(outside))
    return _told("recogniser, model", share, limit, {word: sorted(set(heard)) for word, heard in wrong.items()})


if __name__ == "__main__":
    sys.exit(main())
