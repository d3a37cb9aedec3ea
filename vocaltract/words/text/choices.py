"""What a coach may choose against the speaker's profile: vowels that are one, and the vowel of -ed and -es."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from types import MappingProxyType

from articulators.errors import BadInput, nearest
from articulators.records import Record, rows
from vocaltract.words.lexicon.dictionary import Pronunciation

ENDING_VOWELS: Mapping[str, str] = MappingProxyType({"short-i": "IH0", "schwa": "AH0"})
"""Names of the vowels of -ed and -es, and their dictionary symbols; the first is the profile's."""
_SIBILANTS = frozenset(("S", "Z", "SH", "ZH", "CH", "JH"))


class Merger(Record, frozen=True):
    """A row of data/mergers.tsv: dictionary symbols without stress."""

    name: str
    merged: str
    into: str
    not_before: str


@cache
def mergers() -> Mapping[str, Merger]:
    """data/mergers.tsv by name."""
    return MappingProxyType({row.name: row for row in rows("vocaltract.words", "mergers.tsv", Merger)})


@dataclass(frozen=True, slots=True)
class Choices:
    """Against the profile of the dictionary.

    merge         names of vowels that are one (`mergers`)
    ending_vowel  of -ed and -es, one of ENDING_VOWELS
    Raises BadInput for an unknown name.
    """

    merge: tuple[str, ...] = ()
    ending_vowel: str = "short-i"

    def __post_init__(self) -> None:
        for name in self.merge:
            if name not in mergers():
                raise BadInput(f"merge '{name}' is unknown; allowed: {', '.join(mergers())}{nearest(name, mergers())}")
        if self.ending_vowel not in ENDING_VOWELS:
            allowed = ", ".join(ENDING_VOWELS)
            hint = nearest(self.ending_vowel, ENDING_VOWELS)
            raise BadInput(f"ending vowel '{self.ending_vowel}' is unknown; allowed: {allowed}{hint}")

    def of(self, word: str, said: Pronunciation) -> Pronunciation:
        """The pronunciation of a word (lower case) as chosen."""
        phones = said.phones
        if self.ending_vowel != "short-i":
            phones = _with_ending(word, phones, ENDING_VOWELS[self.ending_vowel])
        for name in self.merge:
            phones = _merged(phones, mergers()[name])
        return said if phones == said.phones else replace(said, phones=phones)


def _with_ending(word: str, phones: tuple[str, ...], vowel: str) -> tuple[str, ...]:
    past = word.endswith("ed") and phones[-1:] == ("D",) and phones[-3:-2] in (("T",), ("D",))
    plural = word.endswith(("es", "'s")) and phones[-1:] == ("Z",) and _SIBILANTS.issuperset(phones[-3:-2])
    if len(phones) > 3 and (past or plural) and phones[-2] in ENDING_VOWELS.values():
        return (*phones[:-2], vowel, phones[-1])
    return phones


def _merged(phones: tuple[str, ...], merger: Merger) -> tuple[str, ...]:
    return tuple(
        merger.into + phone[-1] if phone[:-1] == merger.merged and following != merger.not_before else phone
        for phone, following in zip(phones, (*phones[1:], ""), strict=True)
    )
