"""Slides of a lesson as PPTX, 16:9: text that can be edited, films inside, notes for the teacher; extra `slides`.

The typeface is named, not embedded: where it is not installed the program shows its own.
"""

from __future__ import annotations

import io
import tempfile
import unicodedata
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from articulators.errors import SurroundingsError
from renders.handouts.content import Handout, MarkedWord
from renders.paper.typeface import TYPEFACE

_MISSING = "slides need python-pptx: pip install 'vocaltract[slides]'"
_STAMP = (1980, 1, 1, 0, 0, 0)  # the earliest that a ZIP holds: bytes say nothing of the clock
_WIDE, _HIGH, _EDGE = 13.333, 7.5, 0.6  # inches
_TITLE_PT, _TEXT_PT, _SMALL_PT = 40, 26, 18


@dataclass(frozen=True, slots=True)
class SlideFilm:
    """A film inside the slides: what it shows, the MP4, its first picture as PNG, what is seen in words."""

    title: str
    film: bytes
    poster: bytes
    alt: str


def slides_pptx(handout: Handout, films: Sequence[SlideFilm] = ()) -> bytes:
    """The slides of what a handout says, with films inside. The practice film is opened by a link.

    SurroundingsError without python-pptx.
    """
    try:
        import pptx
    except ImportError:
        raise SurroundingsError(_MISSING) from None
    deck = _Deck(pptx.Presentation(), handout)
    deck.build(films)
    held = io.BytesIO()
    deck.show.save(held)
    return _undated(held.getvalue())


class _Deck:
    """A presentation while it is built."""

    def __init__(self, show: Any, handout: Handout) -> None:
        from pptx.util import Inches

        self.show, self.handout, self.text = show, handout, handout.language.text
        show.slide_width, show.slide_height = Inches(_WIDE), Inches(_HIGH)
        about = show.core_properties
        about.title, about.language = handout.title, handout.language.tag
        about.author = about.last_modified_by = ""
        about.created = about.modified = datetime(*_STAMP)
        about.revision = 1

    def build(self, films: Sequence[SlideFilm]) -> None:
        handout, text = self.handout, self.text
        first = self.slide(handout.title, text("handout.slide_notes_start"))
        if handout.picture is not None:
            self.picture(first, handout.picture.png, handout.picture.alt, (_EDGE, 1.5, _WIDE - 2 * _EDGE, 5.6))
        for sound in handout.sounds:
            page = self.slide(text("handout.how", sound=sound.letters), text("handout.slide_notes_start"))
            about = f"{text('handout.as_in', word=sound.example)} [{sound.symbol}]"
            rows = [(f"{n}. {action}", False) for n, action in enumerate(sound.actions, start=1)]
            check = [(f"{text('handout.check')}: {sound.feel}", True)] if sound.feel else []
            self.lines(page, [[row] for row in [(about, False), *rows, *check]])
        for film in films:
            page = self.slide(film.title, text("handout.slide_notes_start"))
            self.film(page, film)
        if handout.pairs:
            page = self.slide(text("handout.listen"), text("handout.listen_how"))
            self.table(page, handout.pairs)
        for group in handout.groups:
            place = text(f"handout.place_{group.place}")
            page = self.slide(f"{group.letters}: {place}", text("handout.slide_notes_words"))
            self.lines(page, [_runs(word) for word in group.words[:8]], columns=2)
        if handout.dialogue is not None:
            page = self.slide(text("handout.dialogue"), text("handout.slide_notes_dialogue"))
            turns = handout.dialogue.turns
            self.lines(page, [[(f"{text(f'handout.{t.who}')}:  ", False), *t.parts] for t in turns])
        last = self.slide(text("handout.plan"), text("handout.rights_letters"))
        days = [[(text(f"handout.day_{day}"), False)] for day in (1, 2, 3, 4)]
        box = self.lines(last, [*days, [(text("handout.caution"), False)]])
        if handout.film:
            run = box.text_frame.add_paragraph().add_run()
            run.text = text("handout.slide_film", file=handout.film)
            self.letters(run, _TEXT_PT)
            run.hyperlink.address = handout.film

    def slide(self, title: str, notes: str) -> Any:
        """A new slide with its title and notes."""
        from pptx.util import Inches

        page = self.show.slides.add_slide(self.show.slide_layouts[5])
        head = page.shapes.title
        head.left, head.top, head.width, head.height = map(Inches, (_EDGE, 0.35, _WIDE - 2 * _EDGE, 1.0))
        head.text_frame.text = unicodedata.normalize("NFC", title)
        for run in head.text_frame.paragraphs[0].runs:
            self.letters(run, _TITLE_PT, bold=True)
        from pptx.enum.text import PP_ALIGN

        head.text_frame.paragraphs[0].alignment = PP_ALIGN.LEFT
        page.notes_slide.notes_text_frame.text = notes
        return page

    def lines(self, page: Any, rows: Sequence[Sequence[tuple[str, bool]]], columns: int = 1) -> Any:
        """Rows of text, each in parts with whether they are bold."""
        from pptx.util import Inches, Pt

        high = 4.0 if columns > 1 else _HIGH - 2.1
        box = page.shapes.add_textbox(*map(Inches, (_EDGE, 1.6, _WIDE - 2 * _EDGE, high)))
        frame = box.text_frame
        frame.word_wrap = True
        if columns > 1:
            frame._txBody.bodyPr.set("numCol", str(columns))
        for number, parts in enumerate(rows):
            row = frame.paragraphs[0] if number == 0 else frame.add_paragraph()
            row.space_after = Pt(14 if columns == 1 else 22)
            for part, bold in parts:
                run = row.add_run()
                run.text = unicodedata.normalize("NFC", part)
                self.letters(run, _TEXT_PT if columns == 1 else 36, bold)
        return box

    def table(self, page: Any, pairs: Sequence[tuple[str, str]]) -> None:
        from pptx.util import Inches

        heads = [self.text(f"handout.{name}_head") for name in ("pair", "first", "second")]
        place = map(Inches, (_EDGE, 1.6, _WIDE - 2 * _EDGE, 5.2))
        grid = page.shapes.add_table(len(pairs) + 1, 3, *place).table
        grid.columns[0].width = Inches(1.4)
        for column in (1, 2):
            grid.columns[column].width = Inches((_WIDE - 2 * _EDGE - 1.4) / 2)
        for number, row in enumerate([heads, *([str(i), *pair] for i, pair in enumerate(pairs, start=1))]):
            for column, said in enumerate(row):
                cell = grid.cell(number, column)
                cell.text = said
                self.letters(cell.text_frame.paragraphs[0].runs[0], _TEXT_PT)

    def picture(self, page: Any, png: bytes, alt: str, room: tuple[float, float, float, float]) -> None:
        """A picture in the middle of a room (left, top, width, height) in inches, with its words."""
        from pptx.util import Inches

        left, top, wide, high = room
        shown = page.shapes.add_picture(io.BytesIO(png), 0, 0)
        scale = min(Inches(wide) / shown.width, Inches(high) / shown.height)
        shown.width, shown.height = int(shown.width * scale), int(shown.height * scale)
        shown.left = int(Inches(left) + (Inches(wide) - shown.width) / 2)
        shown.top = int(Inches(top))
        shown._element.nvPicPr.cNvPr.set("descr", alt)

    def film(self, page: Any, film: SlideFilm) -> None:
        from PIL import Image
        from pptx.util import Inches

        across, down = Image.open(io.BytesIO(film.poster)).size
        high = min(_HIGH - 1.8, (_WIDE - 2 * _EDGE) * down / across)
        wide = high * across / down
        with tempfile.TemporaryDirectory() as room:
            path = Path(room, "film.mp4")
            path.write_bytes(film.film)
            place = map(Inches, ((_WIDE - wide) / 2, 1.5, wide, high))
            movie = page.shapes.add_movie(str(path), *place, io.BytesIO(film.poster), "video/mp4")
        movie._element.nvPicPr.cNvPr.set("descr", film.alt)
        movie._element.nvPicPr.cNvPr.set("name", film.title)

    def letters(self, run: Any, points: int, bold: bool = False) -> None:
        from pptx.util import Pt

        run.font.name, run.font.size, run.font.bold = TYPEFACE, Pt(points), bold


def _runs(word: MarkedWord) -> list[tuple[str, bool]]:
    before, at, after = word.parts
    ipa = f"  {word.ipa}" if word.ipa else ""
    return [(part, bold) for part, bold in ((before, False), (at, True), (after, False), (ipa, False)) if part]


def _undated(data: bytes) -> bytes:
    """The same archive without times, so that the same slides are the same bytes."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as had, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        for name in had.namelist():
            info = zipfile.ZipInfo(name, _STAMP)
            info.compress_type = zipfile.ZIP_STORED if name.endswith((".mp4", ".png")) else zipfile.ZIP_DEFLATED
            made.writestr(info, had.read(name))
    return out.getvalue()
