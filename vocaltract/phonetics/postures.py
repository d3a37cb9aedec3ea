"""The posture of every sound that can be named: shipped, between two shipped ones, or made by rule."""

from __future__ import annotations

import unicodedata
from functools import lru_cache

from articulators.errors import BadInput, nearest
from articulators.posture import Posture, posture_from, posture_of
from vocaltract.ipa.symbol import parse
from vocaltract.phonetics.anchors import anchor, anchor_keys
from vocaltract.phonetics.inventory import FRICTION
from vocaltract.phonetics.speaker import Speaker, man


def posture(key: str, speaker: Speaker | None = None) -> Posture:
    """The posture of a key for a speaker, the man where none is given, folds together; "a+b" is the midpoint of two.

    A symbol that was not solved beforehand is made by rule, solved once and kept (see `cache`). BadInput where it
    cannot be made.
    """
    return _posture(unicodedata.normalize("NFD", key), speaker or man())


@lru_cache(maxsize=2048)
def _posture(key: str, speaker: Speaker) -> Posture:
    if key in speaker.solved:
        return posture_of(**speaker.solved[key])
    if key in anchor_keys():
        return anchor(key, speaker)
    if "+" in key:
        first, second = key.split("+")
        return posture_from((_posture(first, speaker).values + _posture(second, speaker).values) / 2)
    from vocaltract.phonetics import rules  # most sounds are solved beforehand and need no rules

    symbol = key.removesuffix(FRICTION)
    try:
        f = parse(symbol)
    except BadInput as error:
        near = nearest(key, anchor_keys().union(speaker.solved))
        raise BadInput(f"no posture for '{key}'" + (near or f": {error}")) from None
    return rules.posture_by_rule(rules.steps(f)[-1] if key != symbol else f, speaker)
