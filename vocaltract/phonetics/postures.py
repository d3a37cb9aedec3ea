"""The posture of every sound that can be named: shipped, between two shipped ones, or made by rule."""

from __future__ import annotations

import unicodedata
from functools import cache, lru_cache

from articulators.errors import BadInput, nearest
from articulators.posture import Posture, posture_from, posture_of
from vocaltract.ipa.symbol import parse
from vocaltract.phonetics.anchors import anchor, anchor_keys
from vocaltract.phonetics.inventory import FRICTION, entries, narrow_variants
from vocaltract.phonetics.rule_table import rule_table
from vocaltract.phonetics.speaker import Speaker, man
from vocaltract.phonetics.targets import targets


def posture(key: str, speaker: Speaker | None = None) -> Posture:
    """The posture of a key for a speaker, the man where none is given, folds together; "a+b" is the midpoint of two.

    What was not solved beforehand is solved once and kept (see `cache`). BadInput where there is no such sound, and
    where it cannot be made on the head of a speaker of one's own.
    """
    return _posture(unicodedata.normalize("NFD", key), speaker or man())


@cache
def english_keys() -> tuple[str, ...]:
    """What all words of English are made of: keys of postures that are solved each for itself, each once."""
    sounds = [key for entry in (*entries().values(), *narrow_variants().values()) for key in entry.posture]
    parts = [part for key in sounds if key != "next" for part in key.split("+")]
    variants = [symbol for row in rule_table().variant.shipped for symbol in row]
    every = (*parts, *variants, *sorted(anchor_keys()))
    return tuple(dict.fromkeys(unicodedata.normalize("NFD", key) for key in every))


@lru_cache(maxsize=2048)
def _posture(key: str, speaker: Speaker) -> Posture:
    if key in speaker.solved:
        return posture_of(**speaker.solved[key])
    if "+" in key:
        first, second = key.split("+")
        return posture_from((_posture(first, speaker).values + _posture(second, speaker).values) / 2)
    made = anchor(key, speaker) if key in anchor_keys() else _by_rule(key, speaker)
    if not speaker.solved:
        _check(key, made, speaker)
    return made


def _by_rule(key: str, speaker: Speaker) -> Posture:
    from vocaltract.phonetics import rules  # most sounds are solved beforehand and need no rules

    symbol = key.removesuffix(FRICTION)
    try:
        f = parse(symbol)
    except BadInput as error:
        near = nearest(key, anchor_keys().union(speaker.solved))
        raise BadInput(f"no posture for '{key}'" + (near or f": {error}")) from None
    return rules.posture_by_rule(rules.steps(f)[-1] if key != symbol else f, speaker)


def _check(key: str, made: Posture, speaker: Speaker) -> None:
    """BadInput where a posture on a head that does not come with the package does not make its sound."""
    from vocaltract.phonetics.manner import check_manner, check_place, check_vowel

    if key in speaker.formants_hz:
        check_vowel(key, made, speaker)
    for target in targets():
        if key in target.symbols:
            check_place(target, made, speaker)
    check_manner(key.removesuffix(FRICTION), made, _posture(key, man()), speaker)
