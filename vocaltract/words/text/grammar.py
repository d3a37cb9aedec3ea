"""Classes of words that weak forms and accents are decided by (data/grammar.tsv)."""

from __future__ import annotations

from functools import cache
from typing import Literal

from articulators.records import Record, rows

ClassName = Literal[
    "subject", "determiner", "be", "auxiliary", "question", "preposition", "tail", "object", "to_here",
    "numbered", "to_in_on", "skipped", "participle", "numeral",
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
    """Whether word k of a thought group is in or on as a part of its verb (hold on, turn it on), or is said of a thing
    (the light is on)."""
    if words[k] not in ("in", "on") or k == 0:
        return False
    verb = words[k - 2] if k > 1 and is_a(words[k - 1], "object") else words[k - 1]
    return is_a(verb, "to_in_on") or (k + 1 == len(words) and is_a(words[k - 1], "be"))


def is_participle(word: str) -> bool:
    """Whether a word looks like a past participle: one of the list, or in -ed."""
    return is_a(word, "participle") or (len(word) > 4 and word.endswith("ed") and not word.endswith("eed"))
