"""Leaders of labels over the head: what they cross, judged by shapely from the organs' polygons.

That leaders are short and cross as little as can be is common practice in illustration, no source.
"""

from __future__ import annotations

import dataclasses
import itertools
from functools import cache

import msgspec
import numpy as np
import pytest
import shapely

from articulators.section import Section
from renders.films import frame
from renders.films.layouts import LAYOUTS, WIDE, Layout, layout_for
from renders.films.look import FrameLook
from renders.labels.crossings import Obstacles
from renders.labels.placement import Columns, place
from renders.labels.table import labels_by_part
from renders.marks.contact import contact_layer
from renders.marks.moment import Moment
from renders.marks.moments import moment
from renders.marks.voice import voice_layer
from renders.paper.canvas import Canvas
from renders.paper.picture import Dots, Fill, Layer, Stroke, Text
from renders.paper.style import load
from renders.paper.typeface import width
from renders.paper.view import View
from renders.stills import still
from renders.stills.look import StillLook
from renders.stills.naming import labels_layer
from renders.stills.small_views import small_views_layer
from renders.wording.languages import language_of
from vocaltract.phonetics.inventory import SoundEntry, entries, sound
from vocaltract.speech import say_alone

ORGANS = ("tongue", "velum", "upper_lip", "lower_lip", "upper_incisor", "lower_incisor", "mandible", "maxilla",
          "epiglottis", "hyoid", "thyroid")  # fmt: skip
# outlines of other organs that one leader may cross: in and out of a lip and a tooth; of 21 labels one must give way
MOST = {"plain": 4, "technical": 6}
INTO_TONGUE_MM = 20.0


@cache
def now(symbol: str) -> tuple[SoundEntry, Moment, View]:
    entry = sound(symbol)
    shown = say_alone(entry)
    return entry, moment(shown, still.key_time_s(shown)), still.view_of(entry)


@cache
def drawn(symbol: str, labels: str) -> Layer:
    entry, shown, view = now(symbol)
    canvas = Canvas(view, load())
    layers = [
        small_views_layer(entry, shown, StillLook(load(), labels), view),
        contact_layer(shown, canvas),
        voice_layer(shown, canvas),
    ]
    return labels_layer(shown, view, StillLook(load(), labels), layers)


def leaders(layer: Layer, labels: str) -> dict[str, np.ndarray]:
    """Leader (2, 2) of each label: all parts are within the picture."""
    lines = [op.path.vertices for op in layer.ops if isinstance(op, Stroke)]
    ends = np.array([op.points[0] for op in layer.ops if isinstance(op, Dots)])[::2]
    assert np.array_equal(ends, [line[1] for line in lines])
    parts = [part for part, row in labels_by_part().items() if labels == "technical" or row.in_plain]
    return dict(zip(parts, lines, strict=True))


def crossings(leader: np.ndarray, part: str, section: Section, view: View) -> int:
    """How often a leader crosses outlines of organs that it does not name."""
    line = shapely.LineString(leader)
    own = labels_by_part()[part].own
    count = 0
    for organ in ORGANS:
        if organ not in own:
            edge = shapely.boundary(shapely.transform(section.polygons(organ), view.px))
            count += shapely.get_num_coordinates(shapely.intersection(line, edge))
    return count


def through_mm(leader: np.ndarray, organ: str, section: Section, view: View) -> float:
    shape = shapely.transform(section.polygons(organ), view.px)
    return float(shapely.length(shapely.intersection(shapely.LineString(leader), shape))) / view.scale


LABELS = pytest.mark.parametrize("labels", ["plain", "technical"])
SOUNDS = pytest.mark.parametrize("symbol", entries())


@LABELS
@SOUNDS
def test_no_leader_crosses_many_organs_nor_runs_through_the_tongue(symbol: str, labels: str) -> None:
    _, shown, view = now(symbol)
    crossed, through = {}, {}
    for part, leader in leaders(drawn(symbol, labels), labels).items():
        crossed[part] = crossings(leader, part, shown.section, view)
        through[part] = through_mm(leader, "tongue", shown.section, view)
    most = MOST[labels] + (2 if symbol == "w" else 0)  # its lips lie before all else
    assert max(crossed.values()) <= most, max(crossed, key=crossed.__getitem__)
    assert max(through.values()) < INTO_TONGUE_MM, max(through, key=through.__getitem__)


@LABELS
@SOUNDS
def test_labels_and_leaders_keep_apart(symbol: str, labels: str) -> None:
    layer = drawn(symbol, labels)
    assert not overlaps(layer)
    lines = [shapely.LineString(leader) for leader in leaders(layer, labels).values()]
    assert not any(one.crosses(two) for one, two in itertools.combinations(lines, 2))
    entry, shown, view = now(symbol)
    boxes = small_views_layer(entry, shown, StillLook(load(), labels), view)
    for op in boxes.ops:
        if isinstance(op, Stroke):
            box = shapely.box(*op.path.vertices.min(axis=0), *op.path.vertices.max(axis=0))
            assert not any(line.intersects(box) for line in lines)


def overlaps(layer: Layer) -> list[tuple[str, str]]:
    """Lines of text whose letters' boxes overlap."""
    boxes = []
    for op in layer.ops:
        if isinstance(op, Text):
            wide = width(op.string, op.size)
            left = op.x - wide if op.anchor == "end" else op.x
            boxes.append((op.string, shapely.box(left, op.y - 0.4 * op.size, left + wide, op.y + 0.4 * op.size)))
    return [(a, b) for (a, one), (b, two) in itertools.combinations(boxes, 2) if one.intersects(two)]


def test_the_judges_can_fail() -> None:
    """Planted: a leader of the tip from behind, one of it through the chin, and a label put upon another."""
    _, shown, view = now("ɑ")
    tip = leaders(drawn("ɑ", "plain"), "plain")["tip"][1]
    assert through_mm(np.array([[1278.0, tip[1]], tip]), "tongue", shown.section, view) > INTO_TONGUE_MM
    assert crossings(np.array([[330.0, tip[1] + 260.0], tip]), "tip", shown.section, view) >= MOST["plain"]
    assert crossings(np.array([[1278.0, tip[1]], tip]), "lower_lip", shown.section, view) > 0
    layer = drawn("ɑ", "plain")
    first, second = [op for op in layer.ops if isinstance(op, Text)][:2]
    planted = dataclasses.replace(layer, ops=(*layer.ops, dataclasses.replace(second, x=first.x, y=first.y + 9.0)))
    assert overlaps(planted) and not overlaps(layer)


def square(x: float, y: float, half: float) -> np.ndarray:
    return np.array([[x - half, y - half], [x + half, y - half], [x + half, y + half], [x - half, y + half]])


def one_organ(ring: np.ndarray) -> Obstacles:
    return Obstacles(ring, np.roll(ring, -1, axis=0), np.zeros(4, dtype=np.intp), ("organ",), np.array([90.0]), 30.0)


def test_crossings_are_counted_and_the_way_into_the_named_organ_is_free() -> None:
    met = one_organ(square(100.0, 0.0, 20.0))
    starts = np.array([[0.0, 0.0], [0.0, 0.0], [0.0, 0.0], [0.0, 50.0]])
    ends = np.array([[200.0, 0.0], [100.0, 0.0], [115.0, 0.0], [200.0, 50.0]])
    assert met.counts((), starts, ends)[:, 0].tolist() == [2, 1, 1, 0]
    assert met.counts(("organ",), starts, ends)[:, 0].tolist() == [2, 0, 1, 0]  # 35 px into it is more than 30


def test_a_leader_goes_round_an_organ_where_another_place_is_free() -> None:
    columns = Columns(330.0, 1270.0, 100.0, 1100.0, 27.0)
    met = one_organ(square(600.0, 600.0, 60.0))
    point = np.array([(760.0, 600.0)])
    near = place(point, ["a"], columns)
    round_it = place(
        point, ["a"], columns,
        crossed=lambda _, starts, ends: met.cost((), starts, ends),
    )  # fmt: skip
    assert near.labels[0].side == "left" and met.counts((), *near.labels[0].leader[:, None])[0, 0] == 2
    assert met.counts((), *round_it.labels[0].leader[:, None])[0, 0] == 0


def test_a_leader_may_end_at_another_of_its_places() -> None:
    columns = Columns(330.0, 1270.0, 100.0, 1100.0, 27.0)
    met = one_organ(square(600.0, 600.0, 60.0))
    points = np.array([[(600.0, 600.0), (520.0, 600.0)], [(900.0, 300.0), (np.nan, np.nan)]])
    placed = place(
        points, ["a", "b"], columns,
        crossed=lambda _, starts, ends: met.cost((), starts, ends),
    )  # fmt: skip
    assert placed.labels[0].leader[1].tolist() == [520.0, 600.0]
    assert placed.labels[1].leader[1].tolist() == [900.0, 300.0]


def tag_and_buzz(layout: Layout) -> tuple[float, float]:
    """Right edge of the lips' tag, and the leftmost px of the lips and of the marks of vibration before them."""
    shown = now("m")[1]
    look = FrameLook(load(), language_of(), layout)
    frames = frame.FilmFrames(say_alone(sound("m")), look, frame.speed_text(0.5, False, look.language))
    drawn_frame = frames.picture(shown)
    layers = {layer.name: layer for layer in drawn_frame.layers}
    tag = max(op.path.vertices[:, 0].max() for op in layers["contact tag"].ops if isinstance(op, Fill))
    felt = [op for op in layers["contact"].ops if isinstance(op, Stroke) and op.colour == "voice"]
    lips = [layout.view.px(shown.section[f"{side}_lip"]) for side in ("upper", "lower")]
    return float(tag), min(float(points[:, 0].min()) for points in (*[op.path.vertices for op in felt], *lips))


def test_the_tag_of_a_film_keeps_off_the_lips_and_what_is_felt_there() -> None:
    for layout in (*LAYOUTS, *(layout_for(size, bar=False) for size in ((1280, 720), (720, 960), (1080, 1080)))):
        tag, first = tag_and_buzz(layout)
        assert tag < first, (layout.width, layout.height, layout.bar)
    near = msgspec.structs.replace(WIDE, middle_mm=(60.0, -16.5))
    tag, first = tag_and_buzz(near)
    assert tag > first  # planted: too little room before the face
