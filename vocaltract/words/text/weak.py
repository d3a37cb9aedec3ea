"""Weak forms of function words, by their place and grammar (data/weak_forms.tsv, data/grammar.tsv).

Source: Cruttenden, Gimson's Pronunciation of English; Wells, Longman Pronunciation Dictionary; from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache

from articulators.records import Record, rows
from vocaltract.words.lexicon.arpabet import is_vowel_symbol
from vocaltract.words.lexicon.dictionary import Pronunciation
from vocaltract.words.text.grammar import is_a, is_participle, is_particle
from vocaltract.words.text.spoken_word import SpokenWord, thought_groups

_HAVE = frozenset(("have", "has", "had", "i've", "you've", "we've", "they've"))
_DO = frozenset(("do", "does", "did"))


class WeakForm(Record, frozen=True):
    """A row of data/weak_forms.tsv; ``final``: weak also at the end of a thought group."""

    word: str
    weak: str
    final: bool
    before_vowel: str = ""


class BeforeTo(Record, frozen=True):
    """A row of data/before_to.tsv: a word that is one unit with "to" after it; ``not_after``: a class of words."""

    word: str
    pronunciation: str
    not_after: str = ""


@cache
def _weak_forms() -> Mapping[str, WeakForm]:
    return {row.word: row for row in rows("vocaltract.words", "weak_forms.tsv", WeakForm)}


@cache
def _before_to() -> Mapping[str, BeforeTo]:
    return {row.word: row for row in rows("vocaltract.words", "before_to.tsv", BeforeTo)}


def is_function_word(word: str) -> bool:
    """Whether a word (lower case) has a weak form."""
    return word in _weak_forms()


def weakened(said: list[SpokenWord]) -> list[SpokenWord]:
    """The words with weak forms where their place and grammar ask for them; none that is fixed or stands out."""
    weak = list(said)
    forms = _weak_forms()
    for places in thought_groups(said):
        words = tuple(said[i].word for i in places)
        weak_all = all(
            word in forms and not said[i].fixed and not _is_strong(words, k, forms[word])
            for k, (i, word) in enumerate(zip(places, words, strict=True))
        )
        for k, i in enumerate(places):
            if said[i].fixed or said[i].emphasised:
                continue
            unit = _before_to().get(words[k])
            if unit and words[k + 1 : k + 2] == ("to",) and not (k and unit.not_after and is_a(words[k - 1], "be")):
                weak[i] = replace(weak[i], pronunciation=Pronunciation.parse(unit.pronunciation, "weak"))
                continue
            row = forms.get(words[k])
            if row is None or (k == 0 and weak_all) or _is_strong(words, k, row):
                continue
            following = said[i + 1].pronunciation.phones[0] if k + 1 < len(words) else ""
            form = row.before_vowel if following and row.before_vowel and is_vowel_symbol(following) else row.weak
            weak[i] = replace(weak[i], pronunciation=Pronunciation.parse(form, "weak"))
    return weak


def _is_strong(words: tuple[str, ...], k: int, row: WeakForm) -> bool:
    """Whether a function word keeps its strong form at place k of its thought group."""
    word = words[k]
    if k + 1 == len(words):
        return not row.final
    if word in _HAVE:
        return not _before_participle(words, k)
    if word in _DO:
        return not _asks(words, k)
    if word == "that":
        return not _is_relative(words, k)
    if word == "there":
        return not _is_existential(words, k)
    if is_a(word, "be") and k and is_a(words[k - 1], "question"):
        return words[k + 1 :] in (("i",), ("you",), ("he",), ("she",), ("it",), ("we",), ("they",))
    return is_particle(words, k)


def _before_participle(words: tuple[str, ...], k: int) -> bool:
    """have is an auxiliary: a participle follows, after adverbs and, in a question, the subject."""
    following = words[k + 1 :]
    while following and is_a(following[0], "skipped"):
        following = following[1:]
    return bool(following) and is_participle(following[0])


def _asks(words: tuple[str, ...], k: int) -> bool:
    """do is an auxiliary: before a subject pronoun, or before a noun at the beginning or after a question word."""
    following = words[k + 1]
    asked = k == 0 or any(is_a(word, "question") for word in words[:k])
    if is_a(following, "determiner") or following == "it":
        return asked and (following, words[k]) != ("it", "do")
    return is_a(following, "subject") or (asked and words[k] != "do")


def _is_relative(words: tuple[str, ...], k: int) -> bool:
    """that joins a clause: not at the beginning, nor after a preposition, and a subject or an auxiliary follows."""
    before, following = words[k - 1], words[k + 1]
    if k == 0 or is_a(before, "preposition") or is_a(before, "auxiliary") or is_a(before, "question"):
        return False
    return is_a(following, "subject") or is_a(following, "auxiliary") or following in ("the", "my", "your", "our")


def _is_existential(words: tuple[str, ...], k: int) -> bool:
    """there is no place and reduced: it stands after a form of be (before one it keeps its vowel)."""
    return k > 0 and is_a(words[k - 1], "be")
