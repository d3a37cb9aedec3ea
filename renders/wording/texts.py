"""The texts about a moment, from data/wording.toml."""

from __future__ import annotations

import tomllib
import unicodedata
from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import Any


def _decomposed(value: Any) -> Any:
    if isinstance(value, dict):
        return {unicodedata.normalize("NFD", key): _decomposed(inner) for key, inner in value.items()}
    return value


@cache
def table() -> Mapping[str, Any]:
    """data/wording.toml, parsed; keys in NFD."""
    text = resources.files("renders").joinpath("data/wording.toml").read_text(encoding="utf-8")
    return _decomposed(tomllib.loads(text))
