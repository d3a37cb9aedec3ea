"""Where two sounds are said for a comparison: in the texts given, in a minimal pair of words, or by themselves."""

from __future__ import annotations

import contextlib
import unicodedata
from dataclasses import dataclass, replace
from typing import Any

from articulators.errors import BadInput
from vocaltract.motion.schedule import Span
from vocaltract.motion.timeline import Timeline
from vocaltract.naming.named import is_name, named
from vocaltract.pairs.alignment import Match, aligned, unlike
from vocaltract.phonetics.inventory import SoundEntry, entries
from vocaltract.speech import USUAL, Speech, Speeches, both_ways, say, say_alone
from vocaltract.words.lexicon.dictionary import find
from vocaltract.words.practice.examples import MinimalPair, PracticeWord, example_pairs
from vocaltract.words.text.transcribe import read
from vocaltract.words.utterance import Utterance

SHORT = 3  # letters: below it a text that is no word is a sound's name mistyped
TRIED = 6  # pairs of words looked at before the best is taken as it is
COLOURS = ("lateral approximant", "approximant", "nasal")


@dataclass(frozen=True)
class Occurrence:
    """A sound where it is said for the comparison: its word ("" for the sound alone), timeline and span."""

    entry: SoundEntry
    word: str
    timeline: Timeline
    index: int

    @property
    def span(self) -> Span:
        return self.timeline.spans[self.index]


@dataclass(frozen=True)
class Comparison:
    """Two sounds to compare: where each is said, the position they have there, and the texts where they were given.

    position  initial, medial, final, cluster; alone: by themselves; vowel: before ə; texts: in two that stand apart
    texts     the two texts as given, () where two sounds were asked for
    others    symbols of what else differs between the texts, in order: ("" where one has nothing there)
    extra     0 or 1: that text alone has its sound, and the other's is what comes there instead; None: both have one
    """

    first: Occurrence
    second: Occurrence
    position: str
    texts: tuple[str, ...] = ()
    others: tuple[tuple[str, str], ...] = ()
    extra: int | None = None

    @property
    def asked_for(self) -> tuple[SoundEntry, ...]:
        """The sounds that were named as such, not found in texts."""
        return tuple(said.entry for said in (self.first, self.second) if not self.texts or said.timeline.alone)


def compare(a: str, b: str, speech: Speeches = USUAL, **changes: Any) -> Comparison:
    """Two names of sounds, words, phrases or IPA, as typed, said in a way: where each is said, and what else differs.

    changes  fields of `Speech` to be other than in `speech`, such as ``rate=0.8``
    Sounds are said in a minimal pair of words where English has one, else by themselves. BadInput for what cannot be
    read, where both are said the same, and for a recording of what is no text.
    """
    first, second = (replace(one, **changes) for one in both_ways(speech))
    one, other = _entry(a, beside=b), _entry(b, beside=a)
    if one is not None and other is not None:
        if one.symbol == other.symbol:
            raise BadInput(f"'{a}' and '{b}' are the same sound; name two different ones")
        _check_unrecorded(a if first.recording is not None else b, first, second)
        return Comparison(*example_occurrences(one, other, first))
    return _compare_texts(a, b, _timeline(a, one, first), _timeline(b, other, second))


def _check_unrecorded(name: str, *speeches: Speech) -> None:
    """BadInput for a recording of a sound's name."""
    if any(speech.recording is not None for speech in speeches):
        raise BadInput(f"a recording leads a word or a phrase; '{name}' is the name of a sound")


def _entry(text: str, beside: str) -> SoundEntry | None:
    """The sound of that name; None where it is the name of none, or of several and a word that stands beside a text."""
    try:
        return named(text)
    except BadInput:
        bare = text.strip()
        mistyped = len(bare) < SHORT and bare.isalpha()
        if (is_name(text) and is_name(beside)) or ((is_name(text) or mistyped) and not find(bare)):
            raise
        return None


def _timeline(text: str, entry: SoundEntry | None, speech: Speech) -> Timeline:
    """Beside a word, what is a word as well as a sound's name (such as flap) is the word."""
    bare = text.strip()
    if entry is None or (len(bare) >= SHORT and find(bare)):
        return say(text, speech)
    _check_unrecorded(text, speech)
    return say_alone(entry, speech.speaker)


def _compare_texts(a: str, b: str, first: Timeline, second: Timeline) -> Comparison:
    one, other = first.utterance, second.utterance
    matches = aligned(one.sounds, other.sounds)
    found = unlike(matches, one.sounds, other.sounds)
    if not found:
        raise BadInput(f"'{a}' and '{b}' are said the same, {one.transcription}; give two that differ")
    both = [m for m in found if m.first is not None and m.second is not None]
    focus = both[0] if both else found[0]
    i, j = _where(focus, matches, len(one.sounds), len(other.sounds))
    extra = None if both else 1 if focus.first is None else 0
    others = tuple((_symbol(one, m.first), _symbol(other, m.second)) for m in found if m is not focus)
    places = [position_of(u, n) for u, n in ((one, i), (other, j))]
    position = places[0] if places[0] == places[1] else "texts"
    shown = (printed(a), printed(b))
    said = [Occurrence(t.spans[n].entry, text, t, n) for text, t, n in zip(shown, (first, second), (i, j), strict=True)]
    return Comparison(said[0], said[1], position, shown, others, extra)


def printed(text: str) -> str:
    """A text as it is shown: one line, without marks that turn the direction of writing or print nothing."""
    return " ".join("".join(c for c in text if unicodedata.category(c) not in ("Cf", "Cc") or c.isspace()).split())


def _symbol(utterance: Utterance, index: int | None) -> str:
    return "" if index is None else utterance.sounds[index].symbol


def _where(focus: Match, matches: tuple[Match, ...], most_a: int, most_b: int) -> tuple[int, int]:
    """Numbers of the two sounds to show; for one that has no answer, what the other says there instead."""
    if focus.first is not None and focus.second is not None:
        return focus.first, focus.second
    at = matches.index(focus)
    later = [m for m in matches[at + 1 :] if (m.second if focus.first is not None else m.first) is not None]
    if focus.first is not None:
        return focus.first, later[0].second if later and later[0].second is not None else most_b - 1
    assert focus.second is not None
    return later[0].first if later and later[0].first is not None else most_a - 1, focus.second


def position_of(utterance: Utterance, index: int) -> str:
    """initial, medial, final or cluster: where a sound stands in its word; alone for a sound by itself."""
    sounds = utterance.sounds
    if len(sounds) == 1:
        return "alone"
    word = sounds[index].word
    before = sounds[index - 1] if index and sounds[index - 1].word == word else None
    after = sounds[index + 1] if index + 1 < len(sounds) and sounds[index + 1].word == word else None
    if before is None:
        return "initial" if after is None or after.is_vowel or sounds[index].is_vowel else "cluster"
    if after is None:
        return "final" if before.is_vowel or sounds[index].is_vowel else "cluster"
    return "medial" if sounds[index].is_vowel or (before.is_vowel and after.is_vowel) else "cluster"


def example_occurrences(a: SoundEntry, b: SoundEntry, speech: Speech = USUAL) -> tuple[Occurrence, Occurrence, str]:
    """Both sounds in the words of a minimal pair, and the position they have there.

    Where there is none "alone", or "vowel" for stops of one place, which are said before ə.
    """
    for where in _positions(a, b):
        listed = example_pairs(a.symbol, b.symbol, where)[:TRIED]
        for pair in sorted(listed, key=lambda pair: _coloured(pair.first)):
            found = _said(pair, a, b, speech)
            if found is not None:
                return (*found, where)
    if a.manner == b.manner == "plosive" and a.place == b.place:
        with contextlib.suppress(BadInput):  # what a transcription of English cannot hold is said by itself
            first, second = (Occurrence(e, f"[{e.symbol}ə]", say(f"[{e.symbol}ə]", speech), 0) for e in (a, b))
            return first, second, "vowel"
    alone = [Occurrence(e, "", say_alone(e, speech.speaker), 0) for e in (a, b)]
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


def _said(pair: MinimalPair, a: SoundEntry, b: SoundEntry, speech: Speech) -> tuple[Occurrence, Occurrence] | None:
    """The two words as timelines, where each really holds its sound."""
    found = []
    for entry, word in ((a, pair.first), (b, pair.second)):
        sounds = read(word.text, speech.options, choices=speech.choices).sounds
        if word.position >= len(sounds) or sounds[word.position].target != entry.symbol:
            return None
        found.append(Occurrence(entry, word.text, say(word.text, speech), word.position))
    return found[0], found[1]
