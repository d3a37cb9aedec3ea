"""A handout as PDF (tagged, PDF/UA-1), on A4 or Letter, and its answer key apart; set by typst (extra `print`)."""

from __future__ import annotations

import json
import tempfile
import unicodedata
from importlib import resources
from pathlib import Path
from typing import Any

from articulators.errors import BadInput, SurroundingsError, nearest
from renders.handouts.content import MOST_PAIRS, MOST_WORDS, Handout
from renders.paper.typeface import font_files

PAPERS = {"a4": "a4", "letter": "us-letter"}
_MISSING = "handouts need typst: pip install 'vocaltract[print]'"
_WORDS = (
    "check listen listen_how pair_head first_head second_head key_how key_head words words_how dialogue dialogue_how "
    "film checks yes no plan"
).split()


def handout_pdf(handout: Handout, paper: str = "a4") -> bytes:
    """The handout as PDF, on "a4" or "letter". BadInput for other paper; SurroundingsError without typst."""
    return _set(handout, paper, "sheet")


def key_pdf(handout: Handout, paper: str = "a4") -> bytes:
    """The answer key of its listening task. BadInput where there is none."""
    if not handout.pairs:
        raise BadInput(f"the handout of {handout.title} has no listening task, and so no key")
    return _set(handout, paper, "key")


def _set(handout: Handout, paper: str, kind: str) -> bytes:
    if paper not in PAPERS:
        raise BadInput(f"paper {paper!r} is unknown; allowed: {', '.join(PAPERS)}{nearest(paper, PAPERS)}")
    try:
        import typst
    except ImportError:
        raise SurroundingsError(_MISSING) from None
    with tempfile.TemporaryDirectory() as folder:
        room = Path(folder)
        source = resources.files("renders.handouts").joinpath("data", "printed.typ").read_text(encoding="utf-8")
        (room / "printed.typ").write_text(source, encoding="utf-8")
        (room / "data.json").write_text(json.dumps(_data(handout, paper, kind), ensure_ascii=False), encoding="utf-8")
        if handout.picture is not None:
            (room / "picture.png").write_bytes(handout.picture.png)
        fonts = room / "fonts"
        fonts.mkdir()
        for file in (*font_files("regular"), *font_files("bold")):
            (fonts / Path(file).name).write_bytes(Path(file).read_bytes())
        try:
            made = typst.compile(
                room / "printed.typ", root=room, format="pdf", font_paths=[fonts], ignore_system_fonts=True,
                pdf_standards="ua-1", timestamp=0,
            )  # fmt: skip
        except typst.TypstError as error:
            raise SurroundingsError(f"the handout of {handout.title} cannot be set: {error}") from None
    return bytes(made)


def _data(handout: Handout, paper: str, kind: str) -> dict[str, Any]:
    """What the template reads."""
    text = handout.language.text
    named = {name: text(f"handout.{name}") for name in _WORDS}
    called = text("handout.key_kind" if kind == "key" else "handout.kind")
    turns = () if handout.dialogue is None else handout.dialogue.turns
    hear = "check_hear" if len(handout.sounds) > 1 else "check_hear_one"
    data = {
        "kind": kind,
        "paper": PAPERS[paper],
        "lang": handout.language.tag.split("-")[0],
        "title": text("handout.page_of", kind=called, title=handout.title) if kind == "key" else handout.title,
        "footer": called,
        "words": named,
        "picture": handout.picture is not None,
        "picture_mm": 82 if handout.pairs else 120,
        "alt": "" if handout.picture is None else handout.picture.alt,
        "sounds": [
            {
                "how": text("handout.how", sound=sound.letters),
                "as_in": text("handout.as_in", word=sound.example),
                "symbol": sound.symbol,
                "actions": sound.actions[:3],
                "feel": sound.feel,
            }
            for sound in handout.sounds
        ],
        "pairs": handout.pairs[:MOST_PAIRS],
        "answers": handout.answers(),
        "film": handout.film,
        "groups": [
            {
                "letters": group.letters,
                "place": text(f"handout.place_{group.place}"),
                "words": [word.parts for word in group.words[:MOST_WORDS]],
            }
            for group in handout.groups
        ],
        "turns": [{"who": text(f"handout.{turn.who}"), "parts": turn.parts} for turn in turns],
        "checks": [text(f"handout.{name}") for name in (hear, "check_say", "check_use")],
        "days": [text(f"handout.day_{day}") for day in (1, 2, 3, 4)],
        "notes": [text(f"handout.slide_notes_{part}") for part in ("start", "words", "dialogue")],
        "caution": text("handout.caution"),
    }
    return _composed(data)


def _composed(value: Any) -> Any:
    """Texts with marks joined to their letters where a letter of that kind exists (NFC)."""
    if isinstance(value, str):
        return unicodedata.normalize("NFC", value)
    if isinstance(value, dict):
        return {key: _composed(held) for key, held in value.items()}
    if isinstance(value, (list, tuple)):
        return [_composed(held) for held in value]
    return value
