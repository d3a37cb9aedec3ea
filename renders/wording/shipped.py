"""Which languages there are: the files of data/ by name. Loads nothing, for help must be instant."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

from articulators.errors import BadInput, nearest

FIRST = "en"
"""The measure of all others, and the language where none is asked for."""


@cache
def languages() -> tuple[str, ...]:
    """The names of all languages, English first."""
    files = Path(__file__).with_name("data").glob("*.toml")
    found = sorted(file.stem for file in files if re.fullmatch(r"[a-z]{2,3}", file.stem))
    return FIRST, *(key for key in found if key != FIRST)


def known_language(key: str) -> str:
    """The name of a language as it was given. BadInput for one that is not there."""
    if key not in languages():
        raise BadInput(f"language '{key}' is not there; allowed: {', '.join(languages())}{nearest(key, languages())}")
    return key
