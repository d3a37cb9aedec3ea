"""Where two sounds are said for a comparison: in the words of a minimal pair, or by themselves."""

from __future__ import annotations

from dataclasses import dataclass

from renders.film import timeline_of_sound, timeline_of_text
from vocaltract.motion.schedule import Span
from vocaltract.motion.timeline import Timeline
from vocaltract.phonetics.inventory import SoundEntry
from vocaltract.words.practice import MinimalPair, pairs

TRIED = 6  # pairs of words looked at before the best is taken as it is
COLOURS = ("lateral approximant", "approximant", "nasal")


@dataclass(frozen=True)
class Said:
    """A sound where it is said for the comparison: its word ("" for the sound alone), timeline and span."""

    entry: SoundEntry
    word: str
    timeline: Timeline
    index: int

    @property
    def span(self) -> Span:
        return self.timeline.spans[self.index]


def chosen(a: SoundEntry, b: SoundEntry) -> tuple[Said, Said, str]:
    """Both sounds in the words of a minimal pair, and the position they have there; "alone" where there is none."""
    for where in _positions(a, b):
        spare = None
        for pair in pairs(a.symbol, b.symbol, where)[:TRIED]:
            found = _said(pair, a, b)
            if found is not None and not _coloured(found[0]):
                return (*found, where)
            spare = spare or found
        if spare is not None:
            return (*spare, where)
    alone = (Said(e, "", timeline_of_sound(e), 0) for e in (a, b))
    return next(alone), next(alone), "alone"


def _positions(a: SoundEntry, b: SoundEntry) -> tuple[str, ...]:
    if a.kind == b.kind == "vowel":
        return ("medial", "initial", "final")
    if "vowel" in (a.kind, b.kind):
        return ()
    if "ŋ" in (a.symbol, b.symbol):
        return ("final", "medial")
    return ("initial", "final", "medial", "cluster")


def _said(pair: MinimalPair, a: SoundEntry, b: SoundEntry) -> tuple[Said, Said] | None:
    """The two words as timelines, where each really holds its sound."""
    found = []
    for entry, word in ((a, pair.first), (b, pair.second)):
        shown = timeline_of_text(word.text)
        if word.position >= len(shown.spans) or shown.spans[word.position].entry.symbol != entry.symbol:
            return None
        found.append(Said(entry, word.text, shown, word.position))
    return found[0], found[1]


def _coloured(said: Said) -> bool:
    """Whether the sound is a vowel beside one that colours it: it would be shown in another shape than its own."""
    beside = [s.entry for s in said.timeline.spans if abs(s.index - said.index) == 1]
    return said.entry.kind == "vowel" and any(e.manner in COLOURS for e in beside)
