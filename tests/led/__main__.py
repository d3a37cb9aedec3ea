"""Every figure of films led by recordings beside its limit; exit status 1 where one is missed.

python -m tests.led [--only fit|bursts ...]
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence

from tests.hearing import outside_voices
from tests.led.bursts import SPEEDS, WORDS, burst
from tests.led.cases import cases
from vocaltract.recording.fit import fit_sum, fit_table

FIT_VOICES = ("en-us+f4/140", "en-us+m2/125", "en-us+klatt2/135", "en-us+f5/160", "en-us+m5/150")
"""None of them one that the signs were weighed on."""
BURST_VOICES = ("en-us/130", "en-us+f3/130", "en-us+m3/130")
PARTS = ("fit", "bursts")


def main(argv: Sequence[str] | None = None) -> int:
    """Command line."""
    parser = argparse.ArgumentParser(prog="python -m tests.led", description=__doc__)
    parser.add_argument("--only", nargs="+", choices=PARTS, default=PARTS)
    asked = parser.parse_args(argv).only
    if not outside_voices.present():
        print(f"{outside_voices.PROGRAM} is not installed: nobody to record")
        return 1
    met = [_fit()] if "fit" in asked else []
    met += [_bursts()] if "bursts" in asked else []
    return 0 if all(met) else 1


def _fit() -> bool:
    """Another text refused in 95 % of 200 cases, the right one in 5 % at most."""
    limit = fit_table().signs.from_sum
    made = list(cases(FIT_VOICES, 1, 7))
    right = [case for case in made if case.said == case.taken]
    others = [case for case in made if case.said != case.taken]

    def taken(case) -> bool:  # type: ignore[no-untyped-def]
        return case.signs is not None and fit_sum(case.signs) >= limit

    refused = [f"{case.said} ({case.voice})" for case in right if not taken(case)]
    let_in = [f"{case.said} for {case.taken} ({case.voice})" for case in others if taken(case)]
    print(f"right refused   {len(refused)} of {len(right)} (limit 5 %): {', '.join(refused) or 'none'}")
    print(f"others taken    {len(let_in)} of {len(others)} (limit 5 %): {', '.join(let_in) or 'none'}", flush=True)
    return len(refused) <= 0.05 * len(right) and len(let_in) <= 0.05 * len(others)


def _bursts() -> bool:
    """Burst heard and contact broken within one frame."""
    off = []
    for speed in SPEEDS:
        made = [burst(word, voice, speed) for word in WORDS for voice in BURST_VOICES]
        worst = max(1000 * abs(b.heard_s - b.seen_s) for b in made)
        late = [f"{b.word} ({b.voice}) {1000 * (b.heard_s - b.seen_s):+.0f} ms" for b in made if not b.within_a_frame]
        off += late
        print(f"bursts at {speed:g}  {len(made) - len(late)} of {len(made)} within a frame, worst {worst:.0f} ms: "
              f"{', '.join(late) or 'none off'}", flush=True)  # fmt: skip
    return not off


if __name__ == "__main__":
    sys.exit(main())
