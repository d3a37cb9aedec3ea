"""Makes the index of `practice.listing`: every common and rarer word analysed once."""

from __future__ import annotations

import zlib
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from vocaltract.words.lexicon import dictionary
from vocaltract.words.lexicon.dictionary import Pronunciation
from vocaltract.words.lexicon.word_lists import common_words, front_desk, rarer_words
from vocaltract.words.make.contrasts import contrasts
from vocaltract.words.make.places_of import places_of
from vocaltract.words.make.profile import profiled_entries
from vocaltract.words.practice.places import POSITIONS
from vocaltract.words.practice.postings import SOUNDS_OF_A_WORD, WORDS_OF_A_BLOCK, packed_entries
from vocaltract.words.rules import allophones, segments
from vocaltract.words.rules.segments import Segment

LISTING_SCHEMA = """
CREATE TABLE class (size_class INTEGER PRIMARY KEY, past INTEGER NOT NULL);
CREATE TABLE block (number INTEGER PRIMARY KEY, words BLOB NOT NULL);
CREATE TABLE posting (sound TEXT, place TEXT, entries BLOB NOT NULL, PRIMARY KEY (sound, place)) WITHOUT ROWID;
CREATE TABLE minimal (sound TEXT, other TEXT, entries BLOB NOT NULL, PRIMARY KEY (sound, other)) WITHOUT ROWID;
"""
_STRESS = ("", "ˈ", "ˌ")


@dataclass(frozen=True, slots=True)
class Analysed:
    """One word: its size class, phonemes of the dictionary and sounds as they are said."""

    text: str
    size_class: int
    pronunciation: Pronunciation
    line: tuple[Segment, ...]


def analysed() -> list[Analysed]:
    """All listed words by number: by size class, then front-desk words, then short ones, first."""
    entries = profiled_entries()
    ours = set(front_desk())
    sizes = {**common_words(), **rarer_words()}
    found = []
    for word, size in sizes.items():
        pronunciation = dictionary.preferred(word, "|".join(entries.get(word, ())))[0]
        found.append(Analysed(word, size, pronunciation, allophones.apply(segments.from_words([(pronunciation, 0)]))))
    return sorted(found, key=lambda w: (w.size_class, w.text not in ours, len(w.line), len(w.text), w.text))


def _written(word: Analysed) -> str:
    """Symbols parted by spaces; a stress mark or a dot in front of the first of each syllable of several."""
    sounds = segments.to_sounds(word.line)
    several = len({s.syllable for s in sounds}) > 1
    stresses = {s.syllable: s.stress for s in sounds if s.stress is not None}
    symbols = []
    for i, sound in enumerate(sounds):
        begins = several and (i == 0 or sounds[i - 1].syllable != sound.syllable)
        mark = (_STRESS[stresses.get(sound.syllable) or 0] or ".") if begins else ""
        symbols.append(mark + sound.symbol)
    return f"{word.text}\t{word.size_class}\t{' '.join(symbols)}"


def _named(segment: Segment) -> set[str]:
    """The sounds under which a segment is listed: its phoneme, its form, and t for the t in a tap of n and t."""
    merged = {"t"} if segment.target == "ɾ" and segment.phoneme == "n" else set()
    return {segment.phoneme, segment.target} | merged


def _postings(words: Sequence[Analysed]) -> dict[tuple[str, str], list[int]]:
    found: dict[tuple[str, str], list[int]] = defaultdict(list)
    for number, word in enumerate(words):
        for i, segment in enumerate(word.line):
            places = places_of(word.line, i)
            for sound in _named(segment):
                for place in places:
                    found[sound, place].append(number * SOUNDS_OF_A_WORD + i)
    return found


def _place_in(word: Analysed, origin: int) -> int:
    """Which sound a phoneme became: its own, or what it melted into, which follows it."""
    return next(i for i, segment in enumerate(word.line) if segment.origin >= origin)


def _pairs(words: Sequence[Analysed]) -> dict[tuple[str, str], list[int]]:
    by_text = {word.text: number for number, word in enumerate(words)}
    said = {word.text: word.pronunciation.phones for word in words}
    found: dict[tuple[str, str], list[tuple[tuple[int, ...], int, int]]] = defaultdict(list)
    for pair in contrasts(said):
        texts, sounds = (pair.first, pair.second), pair.sounds
        if sounds[0] > sounds[1]:
            texts, sounds = texts[::-1], sounds[::-1]
        numbers = [by_text[text] for text in texts]
        rarest = max(words[n].size_class for n in numbers)
        order = (rarest, POSITIONS.index(pair.position), sum(numbers))
        first, second = (n * SOUNDS_OF_A_WORD + _place_in(words[n], pair.origin) for n in numbers)
        found[sounds].append((order, first, second))
    return {key: [e for _, *both in sorted(listed) for e in both] for key, listed in found.items()}


def listing_tables() -> dict[str, Sequence[tuple[object, ...]]]:
    """Rows of the tables of LISTING_SCHEMA."""
    words = analysed()
    blocks = []
    for start in range(0, len(words), WORDS_OF_A_BLOCK):
        text = "\n".join(_written(word) for word in words[start : start + WORDS_OF_A_BLOCK])
        blocks.append((start // WORDS_OF_A_BLOCK, zlib.compress(text.encode("utf-8"), 9)))
    sizes = [word.size_class for word in words]
    classes = [(size, len(sizes) - sizes[::-1].index(size)) for size in sorted(set(sizes))]
    postings = sorted((*key, packed_entries(entries)) for key, entries in _postings(words).items())
    pairs = sorted((*key, packed_entries(entries)) for key, entries in _pairs(words).items())
    return {"class": classes, "block": blocks, "posting": postings, "minimal": pairs}
