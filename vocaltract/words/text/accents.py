"""Which words of a thought group bear an accent, and which of their stresses are beats without one.

The main accent lies on the last content word, for a compound on its stressed part, unless a word stands out; what
comes after it has beats only, and a word of time, place or address at the end does not bear it. What is known and what
is news is not seen from a text. Source: Cruttenden, Gimson's Pronunciation of English, and Wells, English Intonation,
from memory.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from functools import cache
from typing import Literal

from articulators.errors import BadInput, nearest
from articulators.records import Record, rows
from vocaltract.words.text.grammar import is_a, is_particle
from vocaltract.words.text.spoken_word import SpokenWord, thought_groups
from vocaltract.words.text.weak import is_function_word

_ANY = "*"


class WordPair(Record, frozen=True):
    """A row of data/word_pairs.tsv; ``first``: a word, or * for any of data/compound_firsts.tsv."""

    first: str
    second: str
    stressed: Literal["first", "last"]
    varies: bool


class CompoundFirst(Record, frozen=True):
    """A row of data/compound_firsts.tsv."""

    word: str


@cache
def _pairs() -> Mapping[tuple[str, str], WordPair]:
    return {(row.first, row.second): row for row in rows("vocaltract.words", "word_pairs.tsv", WordPair)}


@cache
def _compound_firsts() -> frozenset[str]:
    return frozenset(row.word for row in rows("vocaltract.words", "compound_firsts.tsv", CompoundFirst))


def paired(first: str, second: str) -> WordPair | None:
    """What data/word_pairs.tsv says of two words (lower case) side by side, the second also as a plural in -s."""
    for one in (first, _ANY) if first in _compound_firsts() else (first,):
        found = _pairs().get((one, second)) or _pairs().get((one, second.removesuffix("s")))
        if found is not None:
            return found
    return None


def emphasised_places(words: Sequence[str], wanted: Collection[str]) -> tuple[int, ...]:
    """Places of the words that are to stand out; BadInput for one that is not among the words of the text."""
    plain = [_plain(word) for word in words]
    for word in wanted:
        if _plain(word) not in plain:
            listed = ", ".join(dict.fromkeys(words))
            raise BadInput(f"emphasis '{word}' is no word of the text; its words: {listed}{nearest(word, plain)}")
    chosen = set(map(_plain, wanted))
    return tuple(i for i, word in enumerate(plain) if word in chosen)


def _plain(word: str) -> str:
    return unicodedata.normalize("NFC", word).casefold().strip()


def accented(said: list[SpokenWord]) -> list[SpokenWord]:
    """The words with their accents; stresses that lose theirs are secondary."""
    found = list(said)
    contrasted = _contrasted(said)
    for places in thought_groups(said):
        _accent_group(found, places, contrasted)
    return found


def _accent_group(found: list[SpokenWord], places: range, contrasted: frozenset[int]) -> None:
    """Sets the accents of one thought group in place."""
    words = tuple(found[i].word for i in places)
    for i in places[:-1]:
        pair = paired(found[i].word, found[i + 1].word)
        if pair is not None and not (found[i].emphasised or found[i + 1].emphasised):
            loser = i if pair.stressed == "last" or i + 1 in contrasted else i + 1
            found[loser] = _demoted(found[loser])
    bearers = [i for k, i in enumerate(places) if found[i].stressed and _may_bear(found, words, k, places)]
    bearers = bearers or [i for i in places if found[i].stressed]
    main = _main(found, bearers, places)
    for k, i in enumerate(places):
        if i == main:
            found[i] = replace(found[i], accent="main")
        elif i > main or i not in bearers:
            found[i] = _demoted(found[i])
        else:
            found[i] = replace(found[i], accent="accented")
        if k + 1 < len(places) and i < main:
            found[i] = _shifted(found[i], found[i + 1])


def _may_bear(found: list[SpokenWord], words: tuple[str, ...], k: int, places: range) -> bool:
    """Whether a stressed word may bear an accent: a content word, a particle, or an auxiliary that stands alone."""
    word = words[k]
    if found[places[k]].emphasised or not is_function_word(word) or is_particle(words, k):
        return True
    if is_a(word, "preposition"):
        others = [w for j, w in enumerate(words) if j != k and not is_function_word(w) and not is_a(w, "question")]
        return word != "to" and not others
    return is_a(word, "auxiliary") or k == 0 or word in ("that", "there")


def _main(found: list[SpokenWord], bearers: list[int], places: range) -> int:
    """The place of the main accent: what stands out, else the last that may bear it and is no tail; -1 for none."""
    chosen = [i for i in bearers if found[i].emphasised]
    if chosen:
        return chosen[-1]
    kept = list(bearers)
    while len(kept) > 1 and _is_tail(found, kept[-1], places) and not is_a(found[kept[-2]].word, "question"):
        kept.pop()
    return kept[-1] if kept else -1


def _is_tail(found: list[SpokenWord], i: int, places: range) -> bool:
    word = found[i].word
    if word in ("one", "ones"):
        return i > places.start and not is_a(found[i - 1].word, "numbered")
    return is_a(word, "tail") and i > places.start and not is_a(found[i - 1].word, "to_here")


def _contrasted(said: list[SpokenWord]) -> frozenset[int]:
    """Second parts of pairs whose first part comes back with another second part: the room key or the room number."""
    pairs = [i for i in range(len(said) - 1) if paired(said[i].word, said[i + 1].word)]
    return frozenset(
        i + 1
        for i in pairs
        if any(said[i].word == said[j].word and said[i + 1].word != said[j + 1].word for j in pairs)
    )


def _demoted(one: SpokenWord) -> SpokenWord:
    phones = tuple(phone.replace("1", "2") for phone in one.pronunciation.phones)
    return replace(one, pronunciation=replace(one.pronunciation, phones=phones), accent="")


def _shifted(one: SpokenWord, following: SpokenWord) -> SpokenWord:
    """thirteen with its first syllable stressed before a word that begins with a stress (thirteen rooms)."""
    stresses = [phone[-1] for phone in one.pronunciation.phones if phone[-1].isdigit()]
    begins = next((phone[-1] for phone in following.pronunciation.phones if phone[-1].isdigit()), "0")
    if not one.word.endswith("teen") or stresses != ["2", "1"] or begins != "1":
        return one
    swapped = str.maketrans("12", "21")
    phones = tuple(phone.translate(swapped) for phone in one.pronunciation.phones)
    return replace(one, pronunciation=replace(one.pronunciation, phones=phones))
