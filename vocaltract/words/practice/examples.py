"""Practice words: real, common words in which a sound really stands as itself, and minimal pairs.

Everything was looked up at build time (`vocaltract.words.make.examples`); a list is instant.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

from articulators.errors import BadInput, nearest
from vocaltract.ipa.english import known_phone, phones
from vocaltract.words.lexicon.databases import PRACTICE, opened

EXAMPLE_PLACES = ("initial", "medial", "final", "held", "cluster", "flapped")
PAIR_PLACES = ("initial", "medial", "final", "cluster")


@dataclass(frozen=True, slots=True)
class PracticeWord:
    """A word or phrase that shows a sound.

    text      the word as spelled
    sound     key of the inventory
    place     initial (before a stressed vowel), medial (between vowels), final (after a vowel), held (a stop
              before another stop, with no audible release), cluster (beside another consonant), flapped
              (t, d as a tap)
    position  which of its sounds it is, from 0, as in ``read(text).sounds``
    partner   the other word of a minimal pair, or None
    """

    text: str
    sound: str
    place: str
    position: int
    partner: str | None = None


@dataclass(frozen=True, slots=True)
class MinimalPair:
    """Two words that differ in one sound only, both said there as themselves."""

    first: PracticeWord
    second: PracticeWord


def _checked(where: str, allowed: tuple[str, ...]) -> str:
    if where not in allowed:
        raise BadInput(f"unknown place {where!r}; allowed: {', '.join(allowed)}{nearest(where, allowed)}")
    return where


def choose(sound: str, where: str, count: int = 1, against: str | None = None) -> tuple[PracticeWord, ...]:
    """The best words for a sound in a place, at most `count`; fewer (or none) where English has fewer.

    sound    key or alias of the inventory
    where    one of EXAMPLE_PLACES
    against  another sound: words of a minimal pair with it come first, words that contain it come last
    Front-desk words come first, then common words, short ones before long ones.
    Raises BadInput for an unknown sound or place, or a count below 1.
    """
    key = known_phone(sound)
    _checked(where, EXAMPLE_PLACES)
    if count < 1:
        raise BadInput(f"count is {count}; at least 1 is needed")
    other = known_phone(against) if against is not None else None
    found: dict[str, PracticeWord] = {}
    if other is not None and where in PAIR_PLACES:
        for pair in example_pairs(key, other, where):
            found.setdefault(pair.first.text, pair.first)
    for word in _without_first(key, where, other):
        found.setdefault(word.text, word)
    return tuple(found.values())[:count]


def _without_first(key: str, where: str, other: str | None) -> list[PracticeWord]:
    """All words for a sound in a place; those that contain the other sound come last."""
    listed = _listed(key, where)
    return [word for word, _ in sorted(listed, key=lambda item: other is not None and f" {other} " in item[1])]


def _listed(key: str, where: str) -> list[tuple[PracticeWord, str]]:
    query = "SELECT text, position, phonemes FROM word WHERE sound = ? AND place = ? ORDER BY rank"
    with opened(PRACTICE) as connection:
        found = connection.execute(query, (key, where)).fetchall()
    return [(PracticeWord(text, key, where, position), phonemes) for text, position, phonemes in found]


def example_pairs(a: str, b: str, where: str) -> tuple[MinimalPair, ...]:
    """Minimal pairs of two sounds in a place, the most useful first; empty where English has none.

    where  one of PAIR_PLACES. Both sounds are said as themselves there: there are no medial pairs of t and d,
           for both are the same tap.
    Raises BadInput for an unknown sound or place, or twice the same sound.
    """
    first, second = known_phone(a), known_phone(b)
    _checked(where, PAIR_PLACES)
    if first == second:
        raise BadInput(f"{a!r} and {b!r} are the same sound; two different sounds are needed")
    query = (
        "SELECT text, partner, position, partner_position FROM pair "
        "WHERE sound = ? AND other = ? AND place = ? ORDER BY rank"
    )
    low, high = sorted((first, second))
    with opened(PRACTICE) as connection:
        found = connection.execute(query, (low, high, where)).fetchall()
    listed = []
    for text, partner, position, partner_position in found:
        left = PracticeWord(text, low, where, position, partner)
        right = PracticeWord(partner, high, where, partner_position, text)
        listed.append(MinimalPair(left, right) if first == low else MinimalPair(right, left))
    return tuple(listed)


def lesson_words(a: str, b: str, total: int = 6) -> tuple[PracticeWord, ...]:
    """Words that teach two sounds, in teaching order: initial, final, then held (stops) or medial.

    Initial, final and medial words are minimal pairs of the two sounds where there are any; for two vowels all
    are medial pairs. A place that a sound does not have is filled from its other places; at most `total` words,
    none twice.
    Raises BadInput for an unknown sound, twice the same sound, or a total below 1.
    """
    first, second = known_phone(a), known_phone(b)
    if first == second:
        raise BadInput(f"{a!r} and {b!r} are the same sound; two different sounds are needed")
    if total < 1:
        raise BadInput(f"total is {total}; at least 1 is needed")
    chosen: list[PracticeWord] = []
    vowels = phones()[first].is_vowel and phones()[second].is_vowel
    steps: tuple[str, ...] = ("medial",) if vowels else ("initial", "final", "third")
    spare = ("initial", "medial", "final", "cluster")
    while len(chosen) < total:
        before = len(chosen)
        for step in steps:
            _add_step(first, second, step, chosen, total)
        if len(chosen) == before:
            if steps == spare:
                break
            steps = spare
    return tuple(chosen)


def words_of_sound(sound: str, total: int = 6) -> tuple[PracticeWord, ...]:
    """Words that show one sound, said as itself: at most `total`, none twice, one of each of its places in turn.

    Raises BadInput for an unknown sound, or a total below 1.
    """
    key = known_phone(sound)
    if total < 1:
        raise BadInput(f"total is {total}; at least 1 is needed")
    in_places = [_without_first(key, where, None) for where in EXAMPLE_PLACES if where != "flapped"]
    in_turn = [word for row in itertools.zip_longest(*in_places) for word in row if word is not None]
    found: dict[str, PracticeWord] = {}
    for word in in_turn:
        found.setdefault(word.text, word)
    return tuple(found.values())[:total]


def _add_step(first: str, second: str, step: str, chosen: list[PracticeWord], total: int) -> None:
    medial = step == "third" and not any(phones()[key].manner == "plosive" for key in (first, second))
    paired = step in ("initial", "final") or medial or (step == "medial" and phones()[first].is_vowel)
    if paired and _add_pair(first, second, "medial" if medial else step, chosen, total):
        return
    for key, other in ((first, second), (second, first)):
        stop = phones()[key].manner == "plosive" and key != "ʔ"
        wanted = step if step != "third" else "held" if stop else "medial"
        for where in dict.fromkeys((wanted, "medial", "final", "initial", "cluster")):
            word = _fresh(key, other, where, chosen)
            if word is not None and len(chosen) < total:
                chosen.append(word)
                break


def _fresh(key: str, other: str, where: str, chosen: list[PracticeWord]) -> PracticeWord | None:
    taken = {word.text for word in chosen}
    return next((word for word in _without_first(key, where, other) if word.text not in taken), None)


def _add_pair(first: str, second: str, where: str, chosen: list[PracticeWord], total: int) -> bool:
    taken = {word.text for word in chosen}
    for pair in example_pairs(first, second, where):
        if pair.first.text not in taken and pair.second.text not in taken and len(chosen) + 2 <= total:
            chosen.extend((pair.first, pair.second))
            return True
    return False
