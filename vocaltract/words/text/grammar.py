"""Classes of words that weak forms and accents are decided by (data/grammar.tsv)."""

from __future__ import annotations

from functools import cache
from typing import Literal

from articulators.records import Record, rows

ClassName = Literal[
    "subject", "determiner", "be", "auxiliary", "question", "preposition", "tail", "numbered", "to_in_on", "skipped",
    "participle", "numeral",
]  # fmt: skip


class WordClass(Record, frozen=True):
    """A row of data/grammar.tsv: a class and its words."""

    name: ClassName
    words: tuple[str, ...]


@cache
def _classes() -> dict[str, frozenset[str]]:
    return {row.name: frozenset(row.words) for row in rows("vocaltract.words", "grammar.tsv", WordClass)}


def is_a(word: str, name: ClassName) -> bool:
    """Whether a word (lower case) is of a class."""
    return word in _classes()[name]


def is_particle(words: tuple[str, ...], k: int) -> bool:
    """Whether word k of a thought group is in or on as a part of its verb: hold on, check in."""
    return words[k] in ("in", "on") and k > 0 and is_a(words[k - 1], "to_in_on")


def is_participle(word: str) -> bool:
    """Whether a word looks like a past participle: one of the list, or in -ed."""
    return is_a(word, "participle") or (len(word) > 4 and word.endswith("ed") and not word.endswith("eed"))
