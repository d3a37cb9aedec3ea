"""Minimal pairs: words that differ in one sound and in nothing else, stress included."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from vocaltract.words.lexicon.arpabet import ipa_of, is_vowel_symbol


@dataclass(frozen=True, slots=True)
class Contrast:
    """Two words and the place, counted in dictionary symbols from 0, of the one in which they differ.

    `sounds` are the phonemes of first and second there, as IPA keys.
    """

    first: str
    second: str
    sounds: tuple[str, str]
    origin: int
    length: int

    @property
    def position(self) -> str:
        """ "initial", "medial" or "final"."""
        return "initial" if self.origin == 0 else "final" if self.origin == self.length - 1 else "medial"


def contrasts(words: Mapping[str, Sequence[str]]) -> Iterator[Contrast]:
    """Every minimal pair of words given with their pronunciation in dictionary symbols (ARPAbet with stress).

    Consonants against consonants, and vowels under main stress against such vowels. Words that are spelled
    differently and said alike each make a pair of their own. Each two words come once.
    """
    holes: dict[tuple[int, tuple[str, ...]], list[tuple[str, str]]] = defaultdict(list)
    for word, phones in words.items():
        for i, symbol in enumerate(phones):
            vowel = is_vowel_symbol(symbol)
            if vowel and not symbol.endswith("1"):
                continue
            rest = (*phones[:i], "V" if vowel else "C", *phones[i + 1 :])
            holes[i, rest].append((word, ipa_of(symbol)))
    for (i, rest), found in holes.items():
        for (first, a), (second, b) in combinations(found, 2):
            if a != b:
                yield Contrast(first, second, (a, b), i, len(rest))
