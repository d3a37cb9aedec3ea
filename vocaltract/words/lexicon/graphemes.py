"""Which letters of a word spell which of its phones, so that a picture can mark them."""

from __future__ import annotations

from functools import cache, lru_cache
from heapq import heappop, heappush
from itertools import count

from articulators.records import Record, rows
from vocaltract.words.lexicon.arpabet import split_stress

Spans = tuple[tuple[int, int] | None, ...]

_SILENT = 100  # prices of an alignment, no unit
_UNKNOWN = 250
_TWO_PHONES = 60  # x as K S, u as Y UW
_NEXT_LETTER = 2
_LETTERS_OF_A_PHONE = 4


class Graphemes(Record, frozen=True):
    """A row of data/graphemes.tsv: letters that commonly spell a phone (ARPAbet without stress)."""

    phone: str
    letters: tuple[str, ...]


@cache
def _spellings() -> dict[str, frozenset[str]]:
    return {row.phone: frozenset(row.letters) for row in rows("vocaltract.words", "graphemes.tsv", Graphemes)}


@lru_cache(maxsize=4096)
def letter_spans(word: str, phones: tuple[str, ...]) -> Spans:
    """Letter span (start, stop) in `word` of each ARPAbet phone, by the cheapest alignment; () gives ().

    None for a phone that no letter of its own spells. Letters that spell nothing are left out.
    """
    text = word.lower()
    known = [_spellings()[split_stress(phone)[0]] for phone in phones]
    closed: set[tuple[int, int]] = set()
    tries = count()
    # cheapest first: price, phones and letters done, then what to prefer at one price (more letters, then shared ones)
    queue: list[tuple[int, int, int, int, int, Spans]] = [(0, 0, 0, 0, next(tries), ())]
    while True:
        price, done, at, _, _, spans = heappop(queue)
        if (done, at) in closed:
            continue
        if (done, at) == (len(known), len(text)):
            return spans
        closed.add((done, at))
        if at < len(text):
            silent = price + (_SILENT if text[at].isalpha() else 0)
            heappush(queue, (silent, done, at + 1, 1, next(tries), spans))
        if done == len(known):
            continue
        for length in range(1, min(_LETTERS_OF_A_PHONE, len(text) - at) + 1):
            listed = text[at : at + length] in known[done]
            dearer = price + (_NEXT_LETTER * (length - 1) if listed else _UNKNOWN * length)
            heappush(queue, (dearer, done + 1, at + length, -length, next(tries), (*spans, (at, at + length))))
        shared = spans[-1] if spans else None
        dearer = price + (_TWO_PHONES if shared and _doubles(text, shared) else _UNKNOWN)
        heappush(queue, (dearer, done + 1, at, 0, next(tries), (*spans, shared)))


def _doubles(text: str, span: tuple[int, int]) -> bool:
    return text[span[0] : span[1]] in ("x", "u", "ue", "ew", "le", "qu")
