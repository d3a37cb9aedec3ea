"""Which letters of a word spell which of its phones, so that a picture can mark them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, lru_cache

from vocaltract.words.phones import split_stress
from vocaltract.words.tables import rows

_SILENT = 1.0
_UNKNOWN = 2.5
_TWO_PHONES = 0.6  # x as K S, u as Y UW


@cache
def _spellings() -> dict[str, frozenset[str]]:
    return {row["phone"]: frozenset(row["letters"].split()) for row in rows("graphemes.tsv")}


@lru_cache(maxsize=4096)
def letter_spans(word: str, phones: tuple[str, ...]) -> tuple[tuple[int, int] | None, ...]:
    """Letter span (start, stop) in `word` of each ARPAbet phone, by the cheapest alignment; () gives ().

    None for a phone that no letter of its own spells. Letters that spell nothing are left out.
    """
    text = word.lower()
    table = _spellings()
    bare = [split_stress(phone)[0] for phone in phones]
    best: dict[tuple[int, int], tuple[float, tuple[tuple[int, int] | None, ...]]] = {(0, 0): (0.0, ())}
    for done in range(len(bare) + 1):
        for at in range(len(text) + 1):
            state = best.get((done, at))
            if state is None:
                continue
            cost, spans = state
            if at < len(text):
                _offer(best, (done, at + 1), cost + (_SILENT if text[at].isalpha() else 0.0), spans)
            if done == len(bare):
                continue
            for length in range(1, min(4, len(text) - at) + 1):
                letters = text[at : at + length]
                known = letters in table[bare[done]]
                price = 0.02 * (length - 1) if known else _UNKNOWN * length
                _offer(best, (done + 1, at + length), cost + price, (*spans, (at, at + length)))
            shared = spans[-1] if spans and spans[-1] is not None else None
            price = _TWO_PHONES if shared and _doubles(text, shared) else _UNKNOWN
            _offer(best, (done + 1, at), cost + price, (*spans, shared))
    return best[len(bare), len(text)][1]


def _doubles(text: str, span: tuple[int, int]) -> bool:
    return text[span[0] : span[1]] in ("x", "u", "ue", "ew", "le", "qu")


def _offer(
    best: dict[tuple[int, int], tuple[float, tuple[tuple[int, int] | None, ...]]],
    key: tuple[int, int],
    cost: float,
    spans: Sequence[tuple[int, int] | None],
) -> None:
    if key not in best or cost < best[key][0] - 1e-12:
        best[key] = (cost, tuple(spans))
