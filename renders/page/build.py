"""The page as one file: template, styles, script and data put together, with a policy that lets nothing else in."""

from __future__ import annotations

import base64
import hashlib
import json
import os
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape
from importlib import resources
from pathlib import Path
from string import Template
from typing import Any

from renders.files.formats import PAGE_ENDINGS, check_ending
from renders.files.outputs import atomic_path
from renders.page.pack import as_text, deflated
from renders.page.page_data import Content, page_data
from renders.page.subject import Subject, subject_of
from renders.page.voice import clip
from renders.paper.style import load
from renders.wording.languages import language_of
from vocaltract import __version__
from vocaltract.naming.named import echo
from vocaltract.speech import USUAL, Speeches

# In this order, as one script.
SCRIPTS = (
    "unpack", "shape", "anatomy", "marks", "insets", "tracks", "words", "halves", "stage", "app", "stretch", "sound",
    "record", "details", "begin",
)  # fmt: skip
STYLE_SHEETS = ("page", "sound")
_ESCAPED = {"<": "\\u003c", ">": "\\u003e", "&": "\\u0026", "\u2028": "\\u2028", "\u2029": "\\u2029"}


@dataclass(frozen=True)
class Page:
    """A learner page: one file of HTML that needs nothing else, and what it shows."""

    html: str
    report: Mapping[str, Any]

    def save(self, path: str | os.PathLike[str], *, force: bool = False) -> None:
        """Write it, whole or not at all; with `force` over a file of that name.

        BadInput for an ending other than .html and .htm, and for a file that exists; SurroundingsError where it cannot
        be written.
        """
        path = Path(path)
        check_ending(path.name, PAGE_ENDINGS)
        with atomic_path(path, force) as part:
            part.write_text(self.html, encoding="utf-8", newline="\n")

    def _repr_html_(self) -> str:
        frame = 'style="width:100%;height:46rem;border:0" loading="lazy"'
        return f'<iframe {frame} title="{escape(self.report["title"])}" srcdoc="{escape(self.html)}"></iframe>'


def write_page(
    texts: Sequence[str], out: Path, *, speech: Speeches = USUAL, language: str = "en", force: bool = False
) -> dict[str, Any]:
    """Write the page of one or two texts; gives what it shows and its size in bytes.

    BadInput as for `renders.page.subject.subject_of` and `Page.save`, and for a language that does not ship.
    """
    made = learner_page(subject_of(texts, speech), language)
    made.save(out, force=force)
    return dict(made.report)


def learner_page(subject: Subject, language: str = "en") -> Page:
    """The page of a subject. BadInput for a language that does not ship."""
    wording = language_of(language)
    content = Content(subject, language)
    html = page_of(content)
    items, said = content.subject.items, content.difference
    names = [item.name for item in items]
    report = {
        "title": " / ".join(names),
        "shown": names,
        "transcriptions": [item.timeline.utterance.transcription for item in items],
        "statement": "" if said is None else wording.sentences((*said.plain, *said.unseen)),
        "language": language,
        "taken": [echo(item.timeline.spans[item.focus].entry) for item in items if item.is_sound],
        "bytes": len(html.encode("utf-8")),
    }
    return Page(html, report)


def page(subject: Subject, language: str = "en") -> str:
    """The whole page of a subject, in a language at first."""
    return page_of(Content(subject, language))


def page_of(content: Content) -> str:
    """The whole page as HTML."""
    script = '(async () => {\n"use strict";\n' + "\n".join(_lean(_asset(f"{name}.js")) for name in SCRIPTS) + "\n})();"
    style = _colours() + "\n" + "\n".join(_lean_style(_asset(f"{name}.css")) for name in STYLE_SHEETS)
    language = language_of(content.language)
    title = " / ".join(item.name for item in content.subject.items)
    return Template(_asset("page.html")).substitute(
        language=language.tag,
        policy=policy(script, style),
        generator=f"vocaltract {__version__}",
        title=escape(f"{title} \u00b7 {language.text('page.kind')}"),
        noscript=escape(language.text("page.noscript")),
        style=style,
        data=json_for_html(_carried(content)),
        script=script,
    )


def _carried(content: Content) -> dict[str, Any]:
    """What the page's script unpacks, and what is said where a browser cannot."""
    tables, data = page_data(content)
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False).encode("utf-8")
    said = language_of(content.language).text("page.cannot_unpack")
    both = zip(content.subject.items, content.clips, strict=True)
    clips = [as_text(clip(item.timeline, samples)) for item, samples in both]
    return {"told": as_text(deflated(text)), "packed": as_text(deflated(tables)), "clips": clips, "cannot": said}


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
    return "".join(_ESCAPED.get(char, char) for char in text)


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
    lines = (re.sub(r"\s+// .*", "", line).strip() for line in text.splitlines())
    return "\n".join(line for line in lines if line and not re.match(r"//|/\*.*\*/$", line))


def _lean_style(text: str) -> str:
    """A style without spaces beside what parts its rules."""
    return re.sub(r"\s*([{};,])\s*", r"\1", _lean(text))
