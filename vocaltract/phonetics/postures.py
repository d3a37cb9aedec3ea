"""The posture of every sound that can be named: shipped, between two shipped ones, or made by rule."""

from __future__ import annotations

import unicodedata
from functools import cache

from articulators.errors import BadInput, nearest
from articulators.posture import Posture, posture_from
from vocaltract.ipa.symbol import parse
from vocaltract.phonetics.inventory import FRICTION
from vocaltract.phonetics.shipped import is_shipped, shipped, shipped_keys


@cache
def posture(key: str) -> Posture:
    """The posture of a key, on the shipped head, folds together; "a+b" is the midpoint of two.

    A symbol that is not shipped is made by rule, solved once and kept (see `cache`). BadInput where it cannot be made.
    """
    key = unicodedata.normalize("NFD", key)
    if is_shipped(key):
        return shipped(key)
    if "+" in key:
        first, second = key.split("+")
        return posture_from((posture(first).values + posture(second).values) / 2)
    from articulators.head import adult_male  # most sounds are shipped and need no rules
    from vocaltract.phonetics import rules

    symbol = key.removesuffix(FRICTION)
    try:
        f = parse(symbol)
    except BadInput as error:
        raise BadInput(f"no posture for '{key}'" + (nearest(key, shipped_keys()) or f": {error}")) from None
    return rules.posture_by_rule(rules.steps(f)[-1] if key != symbol else f, adult_male())
