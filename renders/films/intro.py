"""The card before a film: the text, how it is said, and how fast the film runs."""

from __future__ import annotations

import unicodedata

from renders.films.frame import FrameText
from renders.films.look import FrameLook
from renders.paper.fitting import block, size_for
from renders.paper.picture import Fill, Layer, Op, Path, Picture, Stroke, Text
from renders.wording.names import sound_name
from vocaltract.motion.timeline import Timeline


def intro_card(timeline: Timeline, look: FrameLook, size: tuple[int, int], text: FrameText) -> Picture:
    """A card of a size (width, height) in px, drawn for a shorter side of 720."""
    style, language = look.style, look.language
    scale = 720 / min(size)
    width, height = size[0] * scale, size[1] * scale
    name = language.say(sound_name(timeline.spans[0].entry.name))
    said = name if timeline.alone else timeline.utterance.text.strip("[] ")
    room = width - 160.0
    lines, big = block(said, room, 2.6 * style.size("word"), 3, "bold")
    ipa = unicodedata.normalize("NFD", timeline.utterance.transcription)
    small = size_for(ipa, room, 1.7 * style.size("ipa"))
    high = 1.2 * big * len(lines) + 2.0 * small + 2.4 * style.size("second")
    y, middle = (height - high) / 2, width / 2
    ops: list[Op] = [
        Fill(Path.rectangle(28, 28, width - 56, height - 56, 14), "panel"),
        Stroke(Path.rectangle(28, 28, width - 56, height - 56, 14), "rule", style.line("rule"), opacity=0.6),
    ]
    for row in lines:
        ops.append(Text(row, middle, y + 0.6 * big, big, "ink", "bold", anchor="middle", baseline="middle"))
        y += 1.2 * big
    y += small
    ops.append(Text(ipa, middle, y, small, "ink2", anchor="middle", baseline="middle"))
    y += small + 1.2 * style.size("second")
    note = language.text("film.intro", title=text.speed_title, detail=text.speed_detail)
    ops.append(Text(note, middle, y, style.size("second"), "ink2", anchor="middle", baseline="middle"))
    paper = None if look.transparent else "paper"
    return Picture(width, height, paper, (Layer("intro", tuple(ops), moves=False),), title=said)
