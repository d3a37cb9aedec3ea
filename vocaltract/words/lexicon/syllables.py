"""Syllables: as many consonants as may begin a word go with the following vowel (maximal onset)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from articulators.records import Record, rows
from vocaltract.words.lexicon.arpabet import is_vowel_symbol


@dataclass(frozen=True, slots=True)
class Syllable:
    """Dictionary symbols of one syllable; `nucleus` is empty where a word has no vowel (shh)."""

    onset: tuple[str, ...]
    nucleus: tuple[str, ...]
    coda: tuple[str, ...]

    @property
    def phones(self) -> tuple[str, ...]:
        """All of them in order, ARPAbet."""
        return self.onset + self.nucleus + self.coda


class Onset(Record, frozen=True):
    """A row of data/onsets.tsv: consonants that may begin a syllable, and the vowels that must follow, or "any"."""

    onset: tuple[str, ...]
    before: tuple[str, ...]


@cache
def _groups() -> dict[tuple[str, ...], frozenset[str]]:
    return {row.onset: frozenset(row.before) for row in rows("vocaltract.words", "onsets.tsv", Onset)}


def legal_onset(consonants: tuple[str, ...], vowel: str) -> bool:
    """Whether these consonants may begin a syllable with this vowel. Source: data/onsets.tsv."""
    if len(consonants) < 2:
        return consonants != ("NG",)
    before = _groups().get(consonants)
    return before is not None and ("any" in before or vowel in before or vowel.rstrip("012") in before)


def syllabify(phones: Sequence[str], joints: Iterable[int] = ()) -> tuple[Syllable, ...]:
    """Syllables of a word; their phones in order are the word again.

    phones   dictionary symbols, vowels with a stress digit
    joints   positions where a part of a compound begins; no syllable reaches over one
    """
    cuts = sorted({0, len(phones), *(joint for joint in joints if 0 < joint < len(phones))})
    found: list[Syllable] = []
    for start, stop in pairwise(cuts):
        found.extend(_piece(tuple(phones[start:stop])))
    return tuple(found)


def _piece(phones: tuple[str, ...]) -> list[Syllable]:
    nuclei = [i for i, phone in enumerate(phones) if is_vowel_symbol(phone)]
    if not nuclei:
        return [Syllable(phones, (), ())] if phones else []
    found: list[Syllable] = []
    begin = 0
    for here, following in zip(nuclei, [*nuclei[1:], None], strict=True):
        end = len(phones)
        if following is not None:
            end = here + 1
            while not legal_onset(phones[end:following], phones[following]):
                end += 1
        found.append(Syllable(phones[begin:here], (phones[here],), phones[here + 1 : end]))
        begin = end
    return found
