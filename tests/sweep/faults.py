"""What can be wrong with a simulated word, measured on its outlines and its air.

Tissue that crosses, time that runs back, a stop that leaks, a held stop that opens before the next closure, a nasal
whose way through the nose is shut, a hiss whose way is too wide or shut.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np

from articulators.curves import Array
from articulators.section import Section, section
from tests.reference.published import air
from tests.test_articulators.tissues import crossing, folded_mm2
from vocaltract.airway.air import speech_air
from vocaltract.airway.gaps import Gaps, gaps
from vocaltract.airway.passage import airway
from vocaltract.motion.schedule import Span
from vocaltract.motion.timeline import Timeline

TISSUE_STEP_S = 0.025
WITHIN_S = 0.0015  # closures are measured to a fraction of a millisecond; their edges are not asked about
LEAK_ML_S = 5.0  # less than this is the rounding of an edge, far below the hiss of a narrowing
WIDEST_HISS_CM2 = 0.2  # narrowings of 0.03 to 0.2 cm2 give noise (K. N. Stevens 1971, from memory)
COMMONEST = 5000
FIXED = 300
PHRASES = Path(__file__).parents[1] / "reference" / "phrases.tsv"


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault of one word: its kind, the sound's symbol ("" for the whole word) and what was measured."""

    word: str
    kind: str
    sound: str
    measured: str

    def __str__(self) -> str:
        return f"{self.word:<16} {self.kind:<24} {self.sound:<5} {self.measured}"


@cache
def words() -> tuple[str, ...]:
    """The commonest English words by wordfreq's order that the dictionary has, COMMONEST of them."""
    from wordfreq import top_n_list

    from vocaltract.words.lexicon import dictionary

    found = (w for w in top_n_list("en", 2 * COMMONEST) if w.isascii() and w.isalpha() and len(w) > 1)
    listed = list(found)
    known = dictionary.find_all(listed)
    return tuple(w for w in listed if known.get(w))[:COMMONEST]


def fixed() -> tuple[str, ...]:
    """FIXED of them, evenly spread over the order of commonness: always the same ones."""
    return words()[:: COMMONEST // FIXED][:FIXED]


@cache
def phrases() -> tuple[str, ...]:
    """Phrases of the front desk, 300."""
    lines = PHRASES.read_text(encoding="utf-8").splitlines()
    return tuple(line for line in lines if not line.startswith("#"))[1:]


def faults(word: str, made: Timeline) -> tuple[Fault, ...]:
    """All faults of a word's timeline."""
    found = [Fault(word, "reversed time", sound, what) for sound, what in _reversed(made)]
    looked = _Looked(made)
    found += [Fault(word, "tissue crosses", "", what) for what in looked.tissue()]
    found += [Fault(word, "stop not airtight", sound, what) for sound, what in looked.leaking()]
    found += [Fault(word, "held stop opens early", sound, what) for sound, what in looked.opened_early()]
    found += [Fault(word, "nasal with port shut", sound, what) for sound, what in _shut_noses(made)]
    found += [Fault(word, "hiss without its narrowing", sound, what) for sound, what in _wrong_hisses(made)]
    return tuple(found)


def _reversed(made: Timeline) -> Iterator[tuple[str, str]]:
    for span in made.spans:
        on_the_way = (span.start_s, span.end_s), span.hold_s
        for start, end in on_the_way:
            if not 0 <= start <= end <= made.duration_s:
                yield span.sound.symbol, f"{1000 * start:.0f} to {1000 * end:.0f} ms"
        if span.end_s <= span.start_s:
            yield span.sound.symbol, "no time at all"
        if span.release_s is not None and span.release_s < span.hold_s[0]:
            yield span.sound.symbol, f"let go {1000 * (span.hold_s[0] - span.release_s):.0f} ms before it is shut"
        if span.voice_s is not None and span.voice_s < span.start_s - 0.15:
            yield span.sound.symbol, "voice far ahead of the sound"
    for a, b in pairwise(made.spans):
        if b.start_s < a.end_s - 1e-9:
            yield b.sound.symbol, f"starts {1000 * (a.end_s - b.start_s):.0f} ms before {a.sound.symbol} ends"
        if _starts(b) < _starts(a):
            yield b.sound.symbol, f"its hold starts before that of {a.sound.symbol}"
    for c in made.closures:
        if c.end_s <= c.start_s:
            yield made.spans[c.indices[0]].sound.symbol, "closure that ends before it starts"
    if np.any(np.diff(made._times) <= 0):
        yield "", "times of the tracks"


def _starts(span: Span) -> float:
    return span.hold_s[0]


def _shut_noses(made: Timeline) -> Iterator[tuple[str, str]]:
    """Nasals whose port stays below what counts as open (row vp_open, Warren et al. 1989)."""
    least = air("vp_open").low
    assert least is not None
    for span in made.spans:
        if span.entry.manner == "nasal":
            at = np.linspace(*span.hold_s, 21)
            widest = float(made.moment(at).port_mm.max()) / 10 * speech_air().opening.port_width_cm
            if widest < least:
                yield span.sound.symbol, f"port at most {widest:.2f} cm2"


def _wrong_hisses(made: Timeline) -> Iterator[tuple[str, str]]:
    """Fricatives that are wider than a hiss in their middle half, or shut in the middle of it."""
    for span in made.spans:
        if "fricative" not in span.entry.manner or span.entry.place == "glottal":
            continue
        length = span.end_s - span.start_s
        mouth = made.moment(span.start_s + length * np.linspace(0.25, 0.75, 21)).mouth_cm2
        if mouth.max() > WIDEST_HISS_CM2:
            yield span.sound.symbol, f"{mouth.max():.2f} cm2 at the widest"
        if mouth[8:13].max() <= 0:
            yield span.sound.symbol, "shut in the middle"


class _Looked:
    """Sections of a word at the times that the checks ask for, made in one call."""

    def __init__(self, made: Timeline) -> None:
        self.made = made
        begin, end = made.speech_s
        self.asked: list[Array] = [np.arange(begin - 0.1, end + 0.1, TISSUE_STEP_S)]
        self.stops = [s for s in made.spans if s.entry.is_stop and s.entry.place != "glottal"]
        self.taps = [s for s in made.spans if s.entry.closes and not s.entry.is_stop and s.entry.manner != "nasal"]
        self.asked += [self._hold(s) for s in (*self.stops, *self.taps)]
        self.held = [
            (a, b)
            for a, b in pairwise(made.spans)
            if a in self.stops
            and b in self.stops
            and a.release == "none"
            and a.index not in made.utterance.pauses_after
        ]
        self.asked += [self._from_to(a, b) for a, b in self.held]
        at = np.concatenate(self.asked)
        self.edges = np.cumsum([0, *map(len, self.asked)])
        self.section = section(made.head, made.posture(at))
        later = self.section.at(slice(self.edges[1], None))  # type: ignore[arg-type]
        self.gaps: Gaps | None = gaps(later) if later.posture.shape[0] else None

    def _hold(self, span: Span) -> Array:
        start, end = span.hold_s
        inset = min(WITHIN_S, (end - start) / 3)
        return np.linspace(start + inset, end - inset, 7)

    def _from_to(self, a: Span, b: Span) -> Array:
        start = (a.hold_s[0] + a.hold_s[1]) / 2
        return np.linspace(start, max(b.hold_s[0] + WITHIN_S, start + WITHIN_S), 13)

    def _part(self, number: int) -> slice:
        return slice(self.edges[number + 1] - self.edges[1], self.edges[number + 2] - self.edges[1])

    def tissue(self) -> Iterator[str]:
        grid: Section = self.section.at(slice(0, self.edges[1]))  # type: ignore[arg-type]
        for (a, b), area in crossing(grid).items():
            yield f"{a} in {b}: {area:.1f} mm2"
        for organ, area in folded_mm2(grid).items():
            yield f"{organ} folded: {area:.2f} mm2"

    def _shut(self, number: int) -> Array:
        """Where the mouth is shut by any organ, at the times of one question."""
        assert self.gaps is not None
        return np.any([self.gaps.shut(organ)[self._part(number)] for organ in ("lips", "coronal", "dorsal")], axis=0)

    def leaking(self) -> Iterator[tuple[str, str]]:
        assert self.gaps is not None or not (self.stops or self.taps)
        for number, span in enumerate((*self.stops, *self.taps)):
            assert self.gaps is not None
            symbol = span.sound.symbol
            if not any(span.index in c.indices for c in self.made.closures):
                least = min(
                    float(getattr(self.gaps, o)[self._part(number)].min()) for o in ("lips", "coronal", "dorsal")
                )
                yield symbol, f"never shut; {least:.2f} mm at the narrowest"
                continue
            start, end = span.hold_s
            if end - start < 0.008:
                yield symbol, f"shut for {1000 * (end - start):.0f} ms"
                continue
            shut = self._shut(number)
            if not shut.all():
                yield symbol, f"mouth open in {int((~shut).sum())} of {len(shut)} moments of the hold"
            middle = self.section.at(self.edges[number + 1] + 3)
            if shut.all() and bool(np.any(airway(middle).mouth)):
                yield symbol, "a way through the mouth in the middle of the hold"
            if span in self.taps or span.release == "nasal":
                continue
            port = self.gaps.port[self._part(number)][3:]
            if port.max() > 0:
                yield symbol, f"{port.max():.2f} mm open to the nose late in the hold"
            flow = float(self.made.moment(self._hold(span)).mouth_ml_s.max())
            if flow > LEAK_ML_S:
                yield symbol, f"{flow:.0f} mL/s out of the mouth in the hold"

    def opened_early(self) -> Iterator[tuple[str, str]]:
        first = len(self.stops) + len(self.taps)
        for number, (a, b) in enumerate(self.held):
            shut = self._shut(first + number)
            if not shut.all():
                yield (
                    a.sound.symbol,
                    f"mouth open in {int((~shut).sum())} of {len(shut)} moments before {b.sound.symbol}",
                )
