"""The sounds that all others are made from, for a speaker: solved targets, fitted vowels, and shapes at rest.

Those that come with a speaker are taken as they are; the rest is solved on the head and kept (see `cache`).
"""

from __future__ import annotations

from functools import cache, lru_cache

from articulators.posture import Posture, posture_of
from vocaltract.phonetics.cache import fitted_posture, solved_posture
from vocaltract.phonetics.places import places
from vocaltract.phonetics.shipped import starting, starting_postures
from vocaltract.phonetics.sized import parts_on
from vocaltract.phonetics.speaker import Speaker
from vocaltract.phonetics.targets import targets
from vocaltract.phonetics.vowel_targets import VowelTarget, vowel_targets


@cache
def anchor_keys() -> frozenset[str]:
    """Symbols that a target, a vowel to be fitted or a starting shape stands for."""
    consonants = {symbol for target in targets() for symbol in (*target.symbols, *target.nasals)}
    shapes = {symbol for row in starting_postures().posture for symbol in row.symbols}
    return frozenset(consonants | shapes | {target.symbol for target in vowel_targets()})


@lru_cache(maxsize=1024)
def anchor(key: str, speaker: Speaker) -> Posture:
    """The posture of one of `anchor_keys` for a speaker, folds together; BadInput for another key."""
    if key in speaker.solved:
        return posture_of(**speaker.solved[key])
    return solved_afresh(key, speaker)


def solved_afresh(key: str, speaker: Speaker) -> Posture:
    """The posture of one of `anchor_keys`, solved on the speaker's head whether or not it comes with the speaker."""
    for target in targets():
        if key in target.symbols:
            return solved_posture(target, speaker.head)
        if key in target.nasals:
            made = anchor(target.symbols[0], speaker)
            return made.with_parts(velum=places().velum.lowered_by["lowered"])
    for vowel in vowel_targets():
        if key == vowel.symbol:
            return fitted_posture(vowel, speaker, start(vowel, speaker))
    return sized_shape(key, speaker)


def start(vowel: VowelTarget, speaker: Speaker) -> Posture:
    """The posture that the search for a vowel starts from."""
    return anchor(vowel.start, speaker) if vowel.start else sized_shape(vowel.symbol, speaker)


def sized_shape(key: str, speaker: Speaker) -> Posture:
    """A shape of starting.toml in the size of a speaker's head; BadInput where there is none."""
    return posture_of(**parts_on(starting(key), speaker.head))
