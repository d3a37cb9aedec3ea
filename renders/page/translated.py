"""What is said of two items, cut into its sentences, each with the key of the text it was made from.

`renders.wording.statement` and `pair_statement` make English sentences from data/comparison.toml. A sentence is found
again by those texts, and the page shows the translation that stands under the same key in messages/LANGUAGE.toml; one
that no text fits stays English and is marked as such.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from typing import Any, TypeAlias

from renders.page.catalogue import messages
from renders.page.catalogue import of_pairs as english

Row: TypeAlias = dict[str, Any]
SENTENCES = ("pair_sentence", "pair_texts", "pair_unseen", "pair_technical")
_FIELD = re.compile(r"\{(\w+)\}")
_END = re.compile(r"(?<=[.!?]) ")


def sentences(text: str) -> list[Row]:
    """A text as rows {"en", "key", "fill"}, one a sentence; without "key" where no English text fits."""
    found: list[Row] = []
    while text:
        row = max(_fitting(text), key=lambda r: r[0], default=None)
        if row is None:
            first = _END.split(text, maxsplit=1)[0]
            found.append({"en": first})
        else:
            first = row[1]["en"]
            found.append(row[1])
        text = text[len(first) :].lstrip()
    return found


def headline(title: str) -> list[Row]:
    """What a title says behind what it names, as one row; none where it says nothing."""
    said = title.rpartition(": ")[2]
    if not said:
        return []
    rows = [_row("pair_headline", key, match) for key, p in _patterns("pair_headline") if (match := p.fullmatch(said))]
    return [next((row for row in rows if row), {"en": said})]


def used(rows: list[Row]) -> list[str]:
    """Keys of all texts that rows need."""
    keys: list[str] = []

    def look(value: Any) -> None:
        if isinstance(value, dict):
            if "key" in value:
                keys.append(value["key"])
            for inner in value.get("fill", {}).values():
                look(inner)
        elif isinstance(value, list):
            for inner in value:
                look(inner)

    look(rows)
    return keys


def in_language(rows: list[Row], language: str) -> str:
    """Rows as one text; those without a translation in English."""
    said = [_told(row, language) for row in rows]
    return "".join(text + (" " if text.endswith(".") else "") for text in said).strip()


def _told(value: Any, language: str) -> str:
    if isinstance(value, list):
        return str(messages(language)["ui"]["comma"]).join(_told(one, language) for one in value)
    if not isinstance(value, dict):
        return str(value)
    table, _, key = value.get("key", "").partition(".")
    text = None if language == "en" else messages(language).get(table, {}).get(key)
    if text is None:
        return str(value["en"])
    fill = {name: _told(inner, language) for name, inner in value.get("fill", {}).items()}
    return _FIELD.sub(lambda m: fill.get(m[1], m[0]), text)


@cache
def _patterns(table: str) -> tuple[tuple[str, re.Pattern[str]], ...]:
    """Key and pattern of each text of a table, the ones with the most words first."""
    made = []
    for key, text in sorted(english()[table].items(), key=lambda row: -len(_FIELD.sub("", row[1]))):
        pieces = _FIELD.split(text)
        pattern = "".join(re.escape(p) if i % 2 == 0 else f"(?P<{p}>{_held(p)})" for i, p in enumerate(pieces))
        made.append((key, re.compile(pattern)))
    return tuple(made)


def _held(name: str) -> str:
    """What a blank may hold: a sound is one word, and a text of the user stands between quotes."""
    if name in ("organs", "when", "list") or name.startswith(("clause", "name")):
        return ".+?"
    return "\u201c.*?\u201d|\\S+?"


def _fitting(text: str) -> Iterator[tuple[int, Row]]:
    """Rows with which a text may begin, and how many letters of each are not in blanks."""
    for table in SENTENCES:
        for key, pattern in _patterns(table):
            if not english()[table][key].endswith("."):
                continue  # part of a sentence
            match = pattern.match(text)
            if match is None or text[match.end() : match.end() + 1] not in ("", " "):
                continue
            row = _row(table, key, match)
            if row is not None:
                yield len(_FIELD.sub("", english()[table][key])), row


def _row(table: str, key: str, match: re.Match[str]) -> Row | None:
    """None where a blank holds what it cannot mean: then the text only looks alike."""
    fill: dict[str, Any] = {}
    for name, value in match.groupdict().items():
        found = _blank(name, value)
        if found is None:
            return None
        fill[name] = found
    row = {"en": match[0], "key": f"{table}.{key}"}
    return {**row, "fill": fill} if fill else row


def _blank(name: str, value: str) -> Any:
    """What a blank holds: the text itself, or rows of the texts it was made from."""
    if name.startswith("clause"):
        return _same_text("pair_place", value)
    if name.startswith("name"):
        return _same_text("pair_name", value)
    if name == "organs":
        parts = re.split(r", | and ", value[0].lower() + value[1:])
        rows = [_same_text("pair_organ", part) for part in parts]
        return None if None in rows else rows
    if name == "when":
        for key, pattern in _patterns("pair_sentence"):
            if key.startswith("when_") and (match := pattern.fullmatch(value)):
                return _row("pair_sentence", key, match)
        return None
    if name == "list":
        return [_other(part) for part in value.split(", ")]
    if name in ("ms", "mm", "count", "jaw", "tongue") or name[-2:] in ("_a", "_b"):
        return value if re.fullmatch(r"[-\u2212]?[\d.]+", value) else None
    return value


def _other(pair: str) -> Row:
    a, _, b = pair.partition(" / ")
    nothing = english()["pair_texts"]["nothing"]
    sides = [_same_text("pair_texts", side) if side == nothing else side for side in (a, b)]
    return {"en": pair, "key": "pair_texts.other", "fill": {"a": sides[0], "b": sides[1]}}


def _same_text(table: str, value: str) -> Row | None:
    key = next((key for key, text in english()[table].items() if text == value), None)
    return None if key is None else {"en": value, "key": f"{table}.{key}"}
