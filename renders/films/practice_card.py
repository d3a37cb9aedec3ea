"""A card of a practice film: a prompt, the word, and how it is done."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass

from renders.films.practice_table import practice_table
from renders.paper.fitting import block, broken, size_for
from renders.paper.picture import Fill, Layer, Op, Path, Picture, Stroke, Text
from renders.paper.style import Style


@dataclass(frozen=True, slots=True)
class CardText:
    """What stands on a card: prompt, word, transcription, steps below ("1", "Lips together."), a last line."""

    prompt: str
    word: str
    ipa: str = ""
    steps: tuple[tuple[str, str], ...] = ()
    last: str = ""


def practice_card(said: CardText, style: Style, size: tuple[int, int]) -> Picture:
    """The card in a picture of that size (width, height) in px; lines that are too long are broken, then smaller."""
    card = practice_table().card
    scale = card.short_px / min(size)
    wide, high = size[0] * scale, size[1] * scale
    room = wide - 2 * card.edge_px
    words, big = block(said.word, room, card.word_px, card.lines, "bold")
    ipa = unicodedata.normalize("NFD", said.ipa)
    small = size_for(ipa, room, card.ipa_px) if ipa else 0.0
    prompt = size_for(said.prompt, room, card.prompt_px)
    indent = 1.6 * card.step_px
    rows: list[tuple[str, str]] = []
    for mark, text in [*said.steps, *([("", said.last)] if said.last else [])]:
        for number, part in enumerate(broken(text, room - indent, card.step_px)):
            rows.append((mark if number == 0 else "", part))
    lead = card.leading
    tall = lead * (prompt + big * len(words) + small + card.step_px * len(rows)) + (card.step_px if rows else 0)
    y = (high - tall) / 2
    frame = Path.rectangle(card.edge_px / 3, card.edge_px / 3, wide - card.edge_px / 1.5, high - card.edge_px / 1.5, 12)
    ops: list[Op] = [Fill(frame, "panel"), Stroke(frame, "rule", style.line("rule"))]

    def centred(text: str, px: float, colour: str, bold: bool = False) -> None:
        nonlocal y
        middle = y + lead * px / 2
        weight = "bold" if bold else "regular"
        ops.append(Text(text, wide / 2, middle, px, colour, weight, anchor="middle", baseline="middle"))  # type: ignore[arg-type]
        y += lead * px

    centred(said.prompt, prompt, "ink2")
    for row in words:
        centred(row, big, "ink", bold=True)
    if ipa:
        centred(ipa, small, "ink2")
    y += card.step_px
    for mark, part in rows:
        middle = y + lead * card.step_px / 2
        if mark:
            ops.append(Text(mark, card.edge_px, middle, card.step_px, "ink", "bold", baseline="middle"))
        ops.append(Text(part, card.edge_px + indent, middle, card.step_px, "ink", baseline="middle"))
        y += lead * card.step_px
    title = " ".join([said.prompt, said.word, *(text for _, text in said.steps), said.last]).strip()
    return Picture(wide, high, "paper", (Layer("card", tuple(ops), moves=False),), title=title)
