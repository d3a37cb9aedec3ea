"""The page as one file: template, styles, script and data put together, with a policy that lets nothing else in."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from html import escape
from importlib import resources
from pathlib import Path
from string import Template
from typing import Any

from renders.files.outputs import atomic_path
from renders.page import below, outlines, plate
from renders.page.catalogue import LANGUAGES, TAGS, messages
from renders.page.difference import compared
from renders.page.half import Texts, described, event_s, usual_event
from renders.page.limits import drawn_from
from renders.page.pack import as_text, packed
from renders.page.shown import Pair, shown
from renders.page.translated import in_language, used
from renders.paper.style import load
from vocaltract import __version__

# In this order, as one script.
SCRIPTS = ("unpack", "shape", "anatomy", "marks", "insets", "tracks", "words", "stage", "app", "details", "begin")
PREFIXES = ("a_", "b_")
_TOLD_IN_HTML = {"<": "\\u003c", ">": "\\u003e", "&": "\\u0026", "\u2028": "\\u2028", "\u2029": "\\u2029"}


def write_page(texts: Sequence[str], out: Path, *, language: str = "en") -> dict[str, Any]:
    """Write the page of one or two texts; gives what it shows and its size in bytes.

    BadInput as for `renders.page.shown.shown`, and for a language that does not ship.
    """
    messages(language)
    pair = shown(texts)
    html = page(pair, language).encode("utf-8")
    with atomic_path(out) as part:
        part.write_bytes(html)
    said = compared(pair)
    return {
        "shown": [half.name for half in pair.halves],
        "transcriptions": [half.timeline.utterance.transcription for half in pair.halves],
        "statement": "" if said is None else in_language([*said.plain, *said.unseen], language),
        "language": language,
        "bytes": len(html),
    }


def page(pair: Pair, language: str = "en") -> str:
    """The whole page."""
    script = '(() => {\n"use strict";\n' + "\n".join(_lean(_asset(f"{name}.js")) for name in SCRIPTS) + "\n})();"
    style = _colours() + "\n" + _lean(_asset("page.css"))
    say = messages(language)["ui"]
    title = " / ".join(half.name for half in pair.halves)
    return Template(_asset("page.html")).substitute(
        language=TAGS[language],
        policy=policy(script, style),
        generator=f"vocaltract {__version__}",
        title=escape(f"{title} \u00b7 {say['kind']}"),
        noscript=escape(say["noscript"]),
        style=style,
        data=json_for_html(data(pair, language)),
        script=script,
    )


def policy(script: str, style: str) -> str:
    """A content security policy under which only these two run and nothing is loaded from anywhere."""
    return "; ".join(
        [
            "default-src 'none'",
            f"script-src 'sha256-{_digest(script)}'",
            f"style-src 'sha256-{_digest(style)}'",
            "img-src data:",
            "base-uri 'none'",
            "form-action 'none'",
        ]
    )


def _digest(text: str) -> str:
    return base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode("ascii")


def json_for_html(value: Any) -> str:
    """JSON that may stand inside a script element: nothing in it can end the element or start another."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return "".join(_TOLD_IN_HTML.get(char, char) for char in text)


def data(pair: Pair, language: str) -> dict[str, Any]:
    """Everything that the script reads."""
    texts = Texts()
    described_halves = [described(half, texts) for half in pair.halves]
    usual = usual_event(described_halves)
    halves = []
    rate = outlines.rate_hz([half.timeline for half in pair.halves])
    for half, row in zip(pair.halves, described_halves, strict=True):
        sampled = outlines.frames(half.timeline, event_s(row, usual) or 0.0, rate)
        halves.append(sampled)
        row["offset"] = float(sampled.times_s[0])
    kept = outlines.points_kept(halves)
    head = pair.halves[0].timeline.head
    fixed, lines = plate.drawing(head)
    tables = [*outlines.still_tables(head), lines]
    for prefix, sampled in zip(PREFIXES, halves, strict=False):
        tables += outlines.moving_tables(sampled, kept, prefix)
    said = compared(pair)
    from_below = None
    if said is not None and below.wanted(pair, bool(said.unseen)):
        from_below, roof = below.drawing(halves[0])
        tables.append(roof)
        for prefix, sampled, half, row in zip(PREFIXES, halves, pair.halves, described_halves, strict=True):
            tables += below.tables(sampled, prefix)
            row["below"] = below.moments(half)
    bytes_, index = packed(tables)
    keys = [row["key"] for row in texts.rows if "key" in row]
    blanks = [value for row in texts.rows for value in row.get("fill", {}).values()]
    keys += [key for value in blanks if isinstance(value, list) for key in value]
    if said is not None:
        keys += [value for row in said.rows for value in (row["a"], row["b"]) if isinstance(value, str)]
        keys += [word for row in described_halves for _, word in row.get("below", [])] + ["below_note"]
        keys += used([*said.headline, *said.plain, *said.technical, *said.unseen])
    return {
        "rate": rate,
        "signal_rate": outlines.SIGNAL_HZ,
        "rig": outlines.rig(head),
        "turns": outlines.turns(kept),
        "index": index,
        "packed": as_text(bytes_),
        "halves": described_halves,
        "usual": usual,
        "texts": texts.rows,
        "limits": drawn_from(),
        "plate": fixed,
        "below": from_below,
        "told": None if said is None else asdict(said),
        "language": language,
        "languages": {key: {"name": name, "tag": TAGS[key]} for key, name in LANGUAGES.items()},
        "messages": {key: _needed(messages(key), keys, key) for key in LANGUAGES},
        "roles": list(load("light").colours),
    }


def _needed(tables: Mapping[str, Mapping[str, str]], used: Sequence[str], language: str) -> dict[str, str]:
    """Texts of the page, phases, and of what is said of moments and pairs what these need (English has it)."""
    # of the places and of what is seen from below, only what is told
    some = {key for key in tables["ui"] if key.startswith(("at_", "below_")) and key not in ("at_ms", "below_title")}
    found = {key: text for key, text in tables["ui"].items() if key not in some or key in used}
    found |= {f"phase_{key}": text for key, text in tables["phase"].items()}
    if language == "en":
        used = [key for key in used if key.partition(".")[0] in ("organ", "tongue")]
    for key in used:
        table, _, name = key.partition(".")
        if table in tables and name in tables[table]:
            found[key] = tables[table][name]
    return found


def _colours() -> str:
    """Colour roles of the light and of the dark style as variables."""

    def rows(name: str) -> str:
        colours = load(name).colours.items()
        return "".join(f"--{role.replace('_', '-')}:{value};" for role, value in colours) + f"color-scheme:{name};"

    return (
        f":root{{{rows('light')}}}\n"
        f"@media (prefers-color-scheme: dark){{:root[data-theme=auto]{{{rows('dark')}}}}}\n"
        f":root[data-theme=dark]{{{rows('dark')}}}"
    )


def _asset(name: str) -> str:
    return resources.files("renders.page").joinpath("assets", name).read_text(encoding="utf-8")


def _lean(text: str) -> str:
    """A script or style without its indentation and its lines of comment."""
    lines = (line.strip() for line in text.splitlines())
    return "\n".join(line for line in lines if line and not re.match(r"//|/\*.*\*/$", line))
