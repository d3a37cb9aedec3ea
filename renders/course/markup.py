"""Pieces of HTML that a lesson's page is put together from. Texts are escaped here."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from importlib import resources

from renders.course.lesson_files import PictureFiles
from renders.course.lesson_table import lesson_table
from renders.wording.languages import Language


def asset(name: str) -> str:
    """A file of the page, without the line break at its end."""
    return resources.files("renders.course").joinpath("data", *name.split("/")).read_text(encoding="utf-8").rstrip()


def ipa(symbol: str, classes: str = "ipa") -> str:
    """A symbol, marked as IPA for readers that speak."""
    return f'<span class="{classes}" lang="en-fonipa">{escape(symbol)}</span>'


def page_section(name: str, title: str, note: str, inside: str) -> str:
    """A part of the page under its heading."""
    noted = f'\n<p class="note">{escape(note)}</p>' if note else ""
    headed = f'<section id="{name}" aria-labelledby="{name}-title">\n<h2 id="{name}-title">{escape(title)}</h2>'
    return f"{headed}{noted}\n{inside}\n</section>"


def missing_note(what: str, language: Language) -> str:
    """That something could not be made."""
    return f'<p class="missing">{escape(language.text("lesson_film.missing", what=what))}</p>'


def picture(files: PictureFiles, kind: str, language: Language) -> str:
    """A picture in its frame, on a narrow screen the one that is laid out for it: nothing scrolls sideways.

    The PNG is shown, for the SVG of eight side views takes long to draw on a telephone; all can be kept.
    """
    (width, height), paths = files.size, files.files
    image = f'<img src="{paths["png"]}" alt="{escape(files.alt, quote=True)}" width="{width}" height="{height}">'
    taken = [(paths[ending], language.text(f"lesson_film.{kind}_{ending}")) for ending in ("svg", "png")]
    if files.tall:
        image = f'<picture><source media="{lesson_table().narrow.screen}" srcset="{files.tall}">{image}</picture>'
        taken.append((files.tall, language.text("lesson_film.picture_tall")))
    return f'<figure>\n<div class="framed">{image}</div>\n<p class="take">{take(taken, language)}</p>\n</figure>'


def take(files: Sequence[tuple[str, str]], language: Language) -> str:
    """Links to files to keep."""
    label = escape(language.text("lesson_field.take"))
    return f"{label}: " + " · ".join(f'<a href="{path}">{escape(text)}</a>' for path, text in files)


def english(text: str, language: Language) -> str:
    """English words, marked as such in a page of another language."""
    return escape(text) if language.tag.startswith("en") else f'<span lang="en">{escape(text)}</span>'


def minus(ms: int) -> str:
    """Milliseconds with a minus sign, not a hyphen."""
    return str(ms).replace("-", "\u2212")
