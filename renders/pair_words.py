"""Where two sounds are said for a comparison: in the words of a minimal pair, or by themselves."""

from __future__ import annotations

from dataclasses import dataclass

from renders.film import timeline_of_sound, timeline_of_text
from vocaltract.motion.schedule import Span
from vocaltract.motion.timeline import Timeline
from vocaltract.phonetics.inventory import SoundEntry, entries
from vocaltract.words.practice import MinimalPair, PracticeWord, pairs
from vocaltract.words.transcribe import read

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
        listed = pairs(a.symbol, b.symbol, where)[:TRIED]
        for pair in sorted(listed, key=lambda pair: _coloured(pair.first)):
            found = _said(pair, a, b)
            if found is not None:
                return (*found, where)
    alone = [Said(e, "", timeline_of_sound(e), 0) for e in (a, b)]
    return alone[0], alone[1], "alone"


def _positions(a: SoundEntry, b: SoundEntry) -> tuple[str, ...]:
    if not {a.symbol, b.symbol} <= entries().keys():
        return ()  # no word of English has it; as a name its symbol may mean another sound (r is ɹ)
    if a.kind == b.kind == "vowel":
        return ("medial", "initial", "final")
    if "vowel" in (a.kind, b.kind):
        return ()
    if "ŋ" in (a.symbol, b.symbol):
        return ("final", "medial")
    return ("initial", "final", "medial", "cluster")


def _coloured(word: PracticeWord) -> bool:
    """Whether the sound is a vowel beside one that colours it: it would be shown in another shape than its own."""
    sounds = read(word.text).sounds
    beside = [entries()[s.target] for i, s in enumerate(sounds) if abs(i - word.position) == 1]
    return entries()[word.sound].kind == "vowel" and any(e.manner in COLOURS for e in beside)


def _said(pair: MinimalPair, a: SoundEntry, b: SoundEntry) -> tuple[Said, Said] | None:
    """The two words as timelines, where each really holds its sound."""
    found = []
    for entry, word in ((a, pair.first), (b, pair.second)):
        sounds = read(word.text).sounds
        if word.position >= len(sounds) or sounds[word.position].target != entry.symbol:
            return None
        found.append(Said(entry, word.text, timeline_of_text(word.text), word.position))
    return found[0], found[1]
