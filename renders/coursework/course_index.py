"""The index of a course: its lessons in order, and the chart of sounds as its map."""

from __future__ import annotations

import tempfile
from html import escape
from importlib import resources
from pathlib import Path
from string import Template

import msgspec

from renders.course.index_page import page_colours, page_footer
from renders.course.markup import asset, ipa
from renders.coursework.plan_file import CoursePlan
from renders.ink import painter
from renders.lesson_items.item import HIDDEN, Files
from renders.paper.picture import Picture
from renders.paper.style import Style, load
from renders.stills.chart import sheet
from renders.wording.languages import language_of
from vocaltract.naming.named import named
from vocaltract.phonetics.speakers import speaker_of

_SHEETS = ("consonants", "vowels")
MAP = f"{HIDDEN}/map.json"
"""What the chart shows in words, and its size, for the index."""


def chart_files(style: str, language: str, speaker: str, _: Files) -> Files:
    """The chart of all sounds as PNG, in two sheets."""
    look, said, who = load(style), language_of(language), speaker_of(speaker)
    sheets = {kind: sheet(kind, look, said, who) for kind in _SHEETS}
    told = {kind: (one.description, round(one.width), round(one.height)) for kind, one in sheets.items()}
    drawn = {f"map/{kind}.png": _png(one, look) for kind, one in sheets.items()}
    return {**drawn, MAP: msgspec.json.encode(told, order="sorted")}


def _png(picture: Picture, look: Style) -> bytes:
    with tempfile.TemporaryDirectory() as room:
        file = Path(room, "sheet").with_suffix(".png")
        painter.save(picture, file, look)
        return file.read_bytes()


def index_files(plan: CoursePlan, given: Files) -> Files:
    """The index: lessons, then which sound is taught where, then the chart."""
    language = language_of(plan.language)
    lessons = "\n".join(
        f'<li><a href="lessons/{one.name}/index.html">{escape(one.title)}</a></li>' for one in plan.lessons
    )
    taught: dict[str, list[str]] = {}
    for one in plan.lessons:
        link = f'<a href="lessons/{one.name}/index.html">{escape(one.title)}</a>'
        for name in one.sounds:
            taught.setdefault(named(name).symbol, []).append(link)
    places = "\n".join(f"<li>{ipa(symbol)} {' · '.join(links)}</li>" for symbol, links in taught.items())
    sheets = msgspec.json.decode(given.get(MAP, b"{}"), type=dict[str, tuple[str, int, int]])
    drawn = [
        f'<figure><a href="map/{kind}.png"><img src="map/{kind}.png" alt="{escape(alt, quote=True)}" '
        f'width="{width}" height="{height}"></a></figure>'
        for kind, (alt, width, height) in sheets.items()
    ]
    page = resources.files("renders.coursework").joinpath("data", "index.html").read_text(encoding="utf-8")
    text = Template(page).substitute(
        language=language.tag, title=escape(plan.title), audience=escape(plan.audience), styles=asset("page.css"),
        colours=page_colours(plan.style), lessons=lessons, places=places, chart="\n".join(drawn),
        footer=page_footer(language, "").replace("fonts/", f"lessons/{plan.lessons[0].name}/fonts/"),
    )  # fmt: skip
    return {"index.html": text.encode()}
