"""The view of the roof of the mouth from below says what the section holds, and what the handbooks show.

Which sounds seal, open at the sides or leave a groove: W. J. Hardcastle & F. Gibbon on electropalatography, and
M. Stone & A. Lundberg 1996 (complete seal, groove, back only, none), both from memory.
"""

from __future__ import annotations

import functools
from dataclasses import replace

import numpy as np
import pytest
import shapely

from articulators.section import Section, section
from renders.insets import palate
from renders.marks.moments import moment
from renders.paper.picture import Dots, Fill, Group, Op, Stroke
from renders.paper.style import load, names
from renders.stills import still
from renders.stills.look import StillLook
from renders.wording.languages import language_of
from vocaltract.phonetics.inventory import sound
from vocaltract.speech import say_alone


@functools.cache
def shape(symbol: str) -> Section:
    shown = say_alone(sound(symbol))
    return moment(shown, still.key_time_s(shown)).section


def flat(ops: tuple[Op, ...]) -> list[Op]:
    return [one for op in ops for one in (flat(op.ops) if isinstance(op, Group) else [op])]


@pytest.mark.parametrize(
    ("symbol", "word"),
    [
        ("t", "shut all round"), ("d", "shut all round"), ("n", "shut all round"), ("k", "shut all round"),
        ("ŋ", "shut all round"), ("l", "sides open"), ("s", "narrow groove"), ("z", "narrow groove"),
        ("ʃ", "wide groove"), ("ɹ", "sides touch"), ("i", "sides touch"), ("θ", "at the teeth"), ("ɑ", "no touch"),
        ("p", "no touch"),
    ],
)  # fmt: skip
def test_the_word_is_that_of_the_sound(symbol: str, word: str) -> None:
    assert language_of().say(palate.palate_word(shape(symbol))) == word


@pytest.mark.parametrize("symbol", ["t", "n", "l", "k", "s", "ʃ", "ɹ", "i", "ɑ"])
def test_contact_over_the_midline_is_where_the_tongue_meets_the_roof(symbol: str) -> None:
    """Measured again on the outlines by another way: the distance between tongue and roof at each depth."""
    now = shape(symbol)
    found = palate.palate_contact(now)
    roof = shapely.MultiLineString([now["palate"], now["velum"]])
    tongue = now.polygons("tongue")
    for depth, across in zip(found.depth_mm, found.across, strict=True):
        strip = shapely.box(depth - 0.2, -60.0, depth + 0.2, 40.0)
        near = shapely.distance(shapely.intersection(tongue, strip), shapely.intersection(roof, strip))
        if across:
            assert near < 0.6, depth
        elif depth < 45.0 and not np.isnan(near):  # behind, the soft palate hangs in front of the tongue
            assert near > 0.02, depth


@pytest.mark.parametrize("symbol", ["t", "l", "s", "ʃ", "ɹ", "k", "i"])
def test_contact_lies_on_the_roof(symbol: str) -> None:
    found = palate.palate_contact(shape(symbol))
    on = found.to_mm > found.from_mm
    assert on.any()
    assert (found.from_mm[on] >= 0).all() and (found.to_mm <= found.half_mm + 1e-9).all()


def test_the_groove_of_s_is_narrower_and_further_forward_than_that_of_sh() -> None:
    """S. G. Fletcher & D. G. Newman 1991: s narrower and nearer the teeth than ʃ (from memory)."""
    width, place = {}, {}
    for symbol in ("s", "ʃ"):
        found = palate.palate_contact(shape(symbol))
        groove = np.where(found.to_mm > found.from_mm, 2 * found.from_mm, np.inf)
        width[symbol], place[symbol] = groove.min(), found.depth_mm[np.argmin(groove)]
    assert width["s"] < width["ʃ"] - 1.0
    assert place["s"] < place["ʃ"]
    assert 2.0 < width["s"] < 10.0  # about 6 mm


def test_l_lets_air_past_at_its_sides_and_t_lets_none() -> None:
    lateral, stop = palate.palate_contact(shape("l")), palate.palate_contact(shape("t"))
    assert (lateral.to_mm[lateral.across] < 0.9 * lateral.half_mm[lateral.across]).all()
    assert stop.sealed() and not lateral.sealed()
    assert not palate.palate_contact(shape("ɹ")).across.any()


def test_more_gap_never_means_more_contact() -> None:
    """Lowering the jaw from a posture takes the tongue away from the roof: the touched area only shrinks."""
    now = shape("ʃ")
    areas = []
    for lower in (0.0, 1.0, 2.0, 4.0):
        wider = now.posture.with_parts(jaw_mm=float(now.posture["jaw_mm"]) + lower)
        found = palate.palate_contact(section(now.head, wider))
        areas.append(float(np.clip(found.to_mm - found.from_mm, 0, None).sum()))
    assert areas == sorted(areas, reverse=True) and areas[-1] < areas[0]


@pytest.mark.parametrize("style", names())
@pytest.mark.parametrize("symbol", ["l", "ɹ", "s", "ʃ"])
def test_the_view_stays_in_its_box_and_shows_the_contact(symbol: str, style: str) -> None:
    box = (100.0, 50.0, 160.0, 140.0)
    ops = flat(palate.contact_view(shape(symbol), box, load(style), True))
    points = np.concatenate([op.points if isinstance(op, Dots) else op.path.vertices for op in ops
                             if isinstance(op, (Dots, Fill, Stroke))])  # fmt: skip
    assert points[:, 0].min() > 99.0 and points[:, 0].max() < 261.0
    assert points[:, 1].min() > 49.0 and points[:, 1].max() < 191.0
    drawn = [op.name for op in ops if isinstance(op, (Fill, Stroke))]
    assert "touched by the tongue" in drawn and "air passes" in drawn


@pytest.mark.parametrize("style", ["light", "print"])
def test_contact_too_small_to_draw_is_left_out(style: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """As where the tongue just begins to touch: rounding the outline of so small an area leaves nothing of it."""
    found = palate.palate_contact(shape("t"))
    touched = np.isin(np.arange(len(found.depth_mm)), (20, 21))
    beginning = replace(found, from_mm=np.where(touched, 5.0, 1.0), to_mm=np.where(touched, 5.2, 0.0))
    monkeypatch.setattr(palate, "palate_contact", lambda _: beginning)
    drawn = flat(palate.contact_view(shape("t"), (0, 0, 200, 200), load(style)))
    assert drawn
    assert "touched by the tongue" not in {op.name for op in drawn if isinstance(op, Fill)}


@pytest.mark.parametrize("symbol", ["l", "ɹ", "s", "ʃ"])
def test_a_still_holds_the_view(symbol: str) -> None:
    entry = sound(symbol)
    drawn = still.still_picture(entry, say_alone(entry), StillLook(load()))
    ops = flat(next(layer for layer in drawn.layers if layer.name == "insets").ops)
    assert any(isinstance(op, Fill) and op.name == "touched by the tongue" for op in ops)
