"""The texts that a page needs, in every language, and lines as plain values ready for JSON."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from renders.wording.languages import Language
from renders.wording.line import Blank, Line, Series

# texts of the page that only some pages need, by the beginning of their key
_SOME = ("at_", "below_")
_ALL = ("at_ms", "below_title")


def as_row(said: Blank) -> Any:
    """A line as {"key", "fill"}, a series as {"items", "joint"}, a text as itself."""
    if isinstance(said, Line):
        fill = {name: as_row(blank) for name, blank in said.blanks}
        return {"key": said.key, "fill": fill} if fill else {"key": said.key}
    if isinstance(said, Series):
        return {"items": [as_row(item) for item in said.items], "joint": said.joint}
    return said


def texts_for(language: Language, keys: Iterable[str]) -> dict[str, str]:
    """Texts by key in plain words: those of every page, its phases, and of the others what is asked for.

    Keys of the page's own table are bare; the others are "table.key".
    """
    asked = dict.fromkeys(keys)
    about = language.texts.language
    found = {f"join_{name}": getattr(about, name) for name in ("comma", "last", "word", "sentence", "stop")}
    for key in language.rows("page"):
        if key in _ALL or not key.startswith(_SOME) or f"page.{key}" in asked:
            found[key] = language.template(f"page.{key}")
    found |= {f"phase_{key}": language.template(f"phase.{key}") for key in language.rows("phase")}
    return found | {key: language.template(key) for key in asked if not key.startswith("page.")}
