"""The card before a film: the text, how it is said, and how fast the film runs."""

from __future__ import annotations

import unicodedata

from renders.films.frame import FrameText
from renders.films.layouts import numbers
from renders.films.look import FrameLook
from renders.paper.fitting import block, size_for
from renders.paper.picture import Fill, Layer, Op, Path, Picture, Stroke, Text
from renders.wording.names import sound_name
from vocaltract.motion.timeline import Timeline


def intro_card(timeline: Timeline, look: FrameLook, size: tuple[int, int], text: FrameText) -> Picture:
    """A card of a size (width, height) in px, laid out for one shorter side."""
    style, language, card = look.style, look.language, numbers().intro
    scale = card.short_px / min(size)
    width, height = size[0] * scale, size[1] * scale
    name = language.say(sound_name(timeline.spans[0].entry.name))
    said = name if timeline.alone else timeline.utterance.text.strip("[] ")
    room = width - 2 * card.edge_px
    lines, big = block(said, room, card.text_share * style.size("word"), card.lines, "bold")
    ipa = unicodedata.normalize("NFD", timeline.utterance.transcription)
    small, second = size_for(ipa, room, card.ipa_share * style.size("ipa")), style.size("second")
    high = card.leading_share * big * len(lines) + card.ipa_high_share * small + card.note_high_share * second
    y, middle = (height - high) / 2, width / 2
    edge, corner = card.card_px
    frame = Path.rectangle(edge, edge, width - 2 * edge, height - 2 * edge, corner)
    ops: list[Op] = [
        Fill(frame, "panel"),
        Stroke(frame, "rule", style.line("rule"), opacity=card.rule_opacity),
    ]
    step = card.leading_share * big
    for row in lines:
        ops.append(Text(row, middle, y + step / 2, big, "ink", "bold", anchor="middle", baseline="middle"))
        y += step
    y += small
    ops.append(Text(ipa, middle, y, small, "ink2", anchor="middle", baseline="middle"))
    y += small + card.leading_share * second
    key = "film.intro_heard" if text.voice else "film.intro"
    note = language.text(key, title=text.speed_title, detail=text.speed_detail, voice=text.voice)
    ops.append(Text(note, middle, y, second, "ink2", anchor="middle", baseline="middle"))
    paper = None if look.transparent else "paper"
    return Picture(width, height, paper, (Layer("intro", tuple(ops), moves=False),), title=said)
