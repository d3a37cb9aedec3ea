"""The texts of the page in each language that ships, and the way from an English text of a film to its key.

What is said of a moment is made by `renders.wording.teller` in English. The page shows that text, or the translation
that stands under the same key in messages/LANGUAGE.toml.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import Any

from articulators.errors import BadInput, nearest
from renders.wording.statement import texts
from renders.wording.texts import table
from vocaltract.phonetics.inventory import entries

LANGUAGES = {"en": "English", "es": "Español", "zh": "简体中文"}
TAGS = {"en": "en", "es": "es", "zh": "zh-Hans"}
# Tables of data/wording.toml that the page shows, each row a plain and a technical text; the second lines of the
# state rows are left out.
SAID = ("phase", "organ", "tongue", "cue", "throat_cue", "sounds", "detail", "contact", "air", "voice", "moment")
_FIELD = re.compile(r"\{(\w+)\}")


@cache
def messages(language: str) -> Mapping[str, Mapping[str, str]]:
    """Every text of a language by table and key; in English what is said of a moment comes from data/wording.toml."""
    if language not in LANGUAGES:
        allowed = ", ".join(LANGUAGES)
        raise BadInput(f"language '{language}' is not there; allowed: {allowed}{nearest(language, LANGUAGES)}")
    text = resources.files("renders.page").joinpath(f"messages/{language}.toml").read_text(encoding="utf-8")
    found = {name: dict(rows) for name, rows in tomllib.loads(text).items()}
    return {**{kind: said(kind) for kind in SAID}, **of_pairs(), **found} if language == "en" else found


@cache
def said(kind: str) -> Mapping[str, str]:
    """The plain texts of one table of data/wording.toml by key."""
    rows: Mapping[str, Any] = table()[kind]
    return {
        key: str(row if isinstance(row, str) else row[0]) for key, row in rows.items() if not key.endswith("_second")
    }


@cache
def of_pairs() -> Mapping[str, Mapping[str, str]]:
    """What is said of two sounds, as data/comparison.toml has it: by table ("pair_" and its name there) and key."""
    whole = texts()
    kinds = ("organ", "headline", "sentence", "texts", "unseen", "technical")
    found = {kind: {key: text for key, text in whole[kind].items() if isinstance(text, str)} for kind in kinds}
    found["headline"]["onset"] += " for {one}"  # as `renders.wording.statement` ends it
    found["headline"] |= {key: text for key, text in found["texts"].items() if key.startswith("headline_")}
    found["texts"] = {key: text for key, text in found["texts"].items() if "headline" not in text + key}
    found["place"] = {place: str(row["clause"]) for place, row in whole["place"].items()}
    found["name"] = {entry.name: entry.name for entry in entries().values()}
    return {f"pair_{kind}": rows for kind, rows in found.items()}


@cache
def _patterns(kind: str) -> tuple[tuple[str, re.Pattern[str]], ...]:
    """Key and pattern of each text: the ones with the fewest blanks first, of those the ones with the most words."""
    rows = sorted(said(kind).items(), key=lambda row: (len(_FIELD.findall(row[1])), -len(_FIELD.sub("", row[1]))))
    made = []
    for key, text in rows:
        pieces = _FIELD.split(text)
        pattern = "".join(re.escape(p) if i % 2 == 0 else f"(?P<{p}>.*)" for i, p in enumerate(pieces))
        made.append((key, re.compile(pattern)))
    return tuple(made)


def told(kinds: tuple[str, ...], text: str) -> dict[str, Any]:
    """A text with the key it was made from and what its blanks hold.

    {"en": text, "key": "cue.hold_lips", "fill": {"symbol": "[p]"}}; without "key" where no row fits. A blank that
    is itself a word of a table holds a list of keys.
    """
    found: dict[str, Any] = {"en": text}
    for kind in kinds:
        for key, pattern in _patterns(kind):
            match = pattern.fullmatch(text)
            if match is not None and _means(match.groupdict()):
                found["key"] = f"{kind}.{key}"
                fill = {name: _word(name, value) for name, value in match.groupdict().items()}
                return {**found, "fill": fill} if fill else found
    return found


def _means(fill: Mapping[str, str]) -> bool:
    return all(value or name in ("place", "symbol", "keyword") for name, value in fill.items())


def _word(name: str, value: str) -> str | list[str]:
    if name in ("one", "two"):
        return next(([f"organ.{key}"] for key, text in said("organ").items() if text == value), value)
    if name == "place":
        keys = [next((k for k, text in said("tongue").items() if text == part), None) for part in value.split(", ")]
        return value if None in keys else [f"tongue.{key}" for key in keys]
    return value
