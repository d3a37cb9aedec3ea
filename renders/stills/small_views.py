"""The small views of a still under the chin: lips from the front, folds from above, palate from below."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from renders.insets import palate
from renders.insets.folds import folds_view, folds_word
from renders.insets.lips import lip_shape, lips_view, lips_word, tip_between_teeth
from renders.marks.moment import Moment
from renders.paper.fitting import size_for
from renders.paper.picture import Box, Fill, Group, Layer, Op, Stroke, Text
from renders.paper.picture import Path as Shape
from renders.paper.view import View
from renders.stills.layout import still_layout
from renders.stills.look import StillLook
from renders.wording.line import Line
from vocaltract.phonetics.inventory import SoundEntry

# title, word of the state, what draws it in a box
SmallView = tuple[Line, Line, Callable[[Box], tuple[Op, ...]]]


def small_views_layer(entry: SoundEntry, now: Moment, look: StillLook, view: View) -> Layer:
    """Lips from the front, folds from above and, where the tongue makes the sound, its contact with the palate."""
    state, style = now.instant, look.style
    lips = lip_shape(now.section)
    tip = tip_between_teeth(now.section)
    views: list[SmallView] = [
        (Line("view.lips"), lips_word(lips),
         lambda box: lips_view(lips, box, style, tip)),
        (Line("view.folds"), folds_word(state.folds_mm, state.voice),
         lambda box: folds_view(now.section.head.folds_above, state.folds_mm, state.voice, now.drift, box, style)),
    ]  # fmt: skip
    word = palate.palate_word(now.section)
    if word != palate.NO_TOUCH and _palate_matters(entry):
        flows = state.mouth_flows
        views.append((Line("view.palate"), word, lambda box: palate.contact_view(now.section, box, style, flows)))
    small, room = style.size("small", "still"), still_layout().small_views
    left, top, narrower, lower = room.frame_px
    x, y, wide, h = _first_box(len(views), now, view)
    ops: list[Op] = []
    for title, word, draw in views:
        box = Shape.rectangle(x, y, wide, h, 12)
        ops += [Fill(box, "panel"), Stroke(box, "rule", style.line("rule"))]
        name, shows = look.language.say(title), look.language.say(word)
        size = size_for(name, wide - 10.0, small * room.title_share)
        ops.append(Text(name, x + wide / 2, y + 20, size, "ink2", anchor="middle", baseline="middle"))
        ops.append(Group(tuple(draw((x + left, y + top, wide - narrower, h - lower)))))
        fits = size_for(shows, wide - 10.0, small, "bold")
        ops.append(Text(shows, x + wide / 2, y + h - 20, fits, "ink", "bold", anchor="middle", baseline="middle"))
        x += wide + room.apart_px
    return Layer("insets", tuple(ops))


def _first_box(count: int, now: Moment, view: View) -> Box:
    """Left, top, width and height of the first of the small views: as large as there is room under the chin."""
    skin = np.concatenate([view.px(now.section[line]) for line in ("lower_lip", "chin_neck")])
    room, found = still_layout().small_views, []
    _, _, narrower, lower = room.frame_px
    for h in room.heights_px:
        top = room.bottom_px - h
        beside = skin[skin[:, 1] > top - 8.0]
        edge = (float(beside[:, 0].min()) if len(beside) else view.box[0] + view.box[2]) - room.felt_mm * view.scale
        wide = min(room.widest_px, (edge - room.left_px - (count - 1) * room.apart_px) / count)
        seen = min(wide - narrower, (h - lower) * room.wide_share)
        found.append((seen, (room.left_px, top, wide, h)))
    return max(found)[1]


def _palate_matters(entry: SoundEntry) -> bool:
    """Whether the tongue's contact is part of a sound: made by the tongue in the mouth, or a close front vowel."""
    if entry.manner == "vowel":
        return entry.place.startswith(("close front", "near-close", "close-mid front"))
    return not any(word in entry.place for word in ("labial", "glottal", "pharyngeal", "epiglottal"))
