"""The sounds of a text while the rules work on them, and how a sound with its features is printed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from vocaltract.ipa.alphabet import nfd, printed_symbol
from vocaltract.ipa.english import Phone, phones
from vocaltract.words.lexicon.arpabet import ipa_of, split_stress
from vocaltract.words.lexicon.dictionary import Pronunciation
from vocaltract.words.lexicon.graphemes import letter_spans
from vocaltract.words.lexicon.syllables import syllabify
from vocaltract.words.utterance import Accent, FiredRule, Sound

_REDUCED = frozenset(("AH0", "IH0", "IY0", "ER0", "OW0", "UW0"))
"""Vowels that count as reduced. Source: words behind Kahn's flapping rule, from memory; data/rules.toml."""


@dataclass(frozen=True, slots=True)
class Segment:
    """One sound on its way to a `Sound`.

    role      "onset", "nucleus" or "coda"
    piece     running number of the word or part of a compound it belongs to
    group     running number of the thought group
    reduced   whether it is a reduced vowel
    letter    the letter to print where it is not the target itself
    spelling  its letters (start, stop) in the written word, None where not known
    origin    place of its phoneme in the pronunciation of its word, from 0; -1 where not known
    fired     running numbers of the rule firings that touched it
    """

    target: str
    phoneme: str
    role: str
    stress: int | None
    word: int
    piece: int
    syllable: int
    group: int
    reduced: bool = False
    letter: str | None = None
    origin: int = -1
    spelling: tuple[int, int] | None = None
    features: frozenset[str] = frozenset()
    rules: tuple[FiredRule, ...] = ()
    fired: tuple[int, ...] = ()

    @property
    def phone(self) -> Phone:
        """What the target is in phonetic terms."""
        return phones()[self.target]

    @property
    def is_vowel(self) -> bool:
        """Whether the target is a vowel; a syllabic consonant is none."""
        return self.phone.is_vowel

    def with_features(self, *features: str) -> Segment:
        """The same with more features (`utterance.Sound.features`)."""
        return replace(self, features=self.features | set(features))


def from_words(words: Sequence[tuple[Pronunciation, int]], written: Sequence[str] = ()) -> list[Segment]:
    """Segments of words, each with the running number of its thought group; `written` tells their letters."""
    line: list[Segment] = []
    piece = -1
    syllable = -1
    for word, (pronunciation, group) in enumerate(words):
        position = 0
        spans = letter_spans(written[word], pronunciation.phones) if written else ()
        piece += 1
        for parts in syllabify(pronunciation.phones, pronunciation.joints):
            syllable += 1
            if position in pronunciation.joints and position:
                piece += 1
            stress = split_stress(parts.nucleus[0])[1] if parts.nucleus else None
            roles = ["onset"] * len(parts.onset) + ["nucleus"] * len(parts.nucleus) + ["coda"] * len(parts.coda)
            for symbol, role in zip(parts.phones, roles, strict=True):
                key = ipa_of(symbol)
                origin = position
                position += 1
                last = position == len(pronunciation.phones)
                reduced = symbol in _REDUCED or (symbol == "OW2" and last)
                own_stress = stress if role == "nucleus" else None
                line.append(
                    Segment(
                        key,
                        key,
                        role,
                        own_stress,
                        word,
                        piece,
                        syllable,
                        group,
                        reduced,
                        origin=origin,
                        spelling=spans[origin] if spans else None,
                    )
                )
    return line


def symbol(segment: Segment, following: Segment | None) -> str:
    """The printed symbol: letter and marks, NFD. The puff is not printed where the next sound shows it."""
    features = segment.features
    if following is not None and "devoiced" in following.features and following.syllable == segment.syllable:
        features = features - {"aspirated", "weakly_aspirated"} if not following.is_vowel else features
    return _printed(segment.letter or segment.target, segment.phone.place, features)


@lru_cache(maxsize=4096)
def _printed(letter: str, place: str, features: frozenset[str]) -> str:
    return ("ʔ" if "preglottalised" in features else "") + printed_symbol(letter, features, place)


def to_sounds(line: Sequence[Segment], accents: Sequence[Accent] = ()) -> tuple[Sound, ...]:
    """The finished sounds; `accents`: of each word, borne by its last syllable of the strongest stress."""
    found = []
    of_syllables = _accented_syllables(line, accents) if any(accents) else {}
    for i, segment in enumerate(line):
        following = line[i + 1] if i + 1 < len(line) else None
        found.append(
            Sound(
                symbol=symbol(segment, following),
                target=segment.target,
                phoneme=segment.phoneme,
                stress=segment.stress,
                word=segment.word,
                syllable=segment.syllable,
                features=segment.features | {segment.role},
                spelling=segment.spelling,
                rules=segment.rules,
                accent=of_syllables.get(segment.syllable, ""),
            )
        )
    return tuple(found)


def _accented_syllables(line: Sequence[Segment], accents: Sequence[Accent]) -> dict[int, Accent]:
    strongest: dict[int, tuple[int, int]] = {}
    for segment in line:
        if segment.stress is not None:
            degree = (0, 2, 1)[segment.stress]
            strongest[segment.word] = max(strongest.get(segment.word, (0, 0)), (degree, segment.syllable))
    return {syllable: accents[word] for word, (_, syllable) in strongest.items()}


def transcription(sounds: Sequence[Sound], pauses_after: Sequence[int]) -> str:
    """Narrow transcription in brackets: stress marks from two syllables on, | between thought groups."""
    several = len({sound.syllable for sound in sounds}) > 1
    stresses = {sound.syllable: sound.stress for sound in sounds if sound.stress is not None}
    text = ""
    for i, sound in enumerate(sounds):
        before = sounds[i - 1] if i else None
        if before is not None and i - 1 in pauses_after:
            text += " | "
        elif before is not None and before.word != sound.word:
            text += " "
        if before is None or before.syllable != sound.syllable:
            text += ("", "ˈ", "ˌ")[stresses.get(sound.syllable, 0) or 0] if several else ""
        text += sound.symbol
    return f"[{nfd(text)}]"
