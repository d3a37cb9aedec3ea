"""Views of the folds and the lips, and the pictograms: states told apart by shape, to scale, inside their boxes.

States must not be told by colour alone: WCAG 2.2 SC 1.4.1. That the folds part sideways and lie to the left and
right of the midline, joined in front: any anatomy of the larynx, e.g. Gray's Anatomy, larynx (from memory).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from articulators.errors import BadInput
from articulators.head import adult_male
from renders.ink.recording import recorded_calls
from renders.insets.folds import folds_view, folds_word
from renders.insets.lips import LipShape, lips_view, lips_word
from renders.paper import icons, style
from renders.paper.picture import MOVE, Dots, Fill, Group, Layer, Op, Path, Picture, Stroke
from renders.wording.languages import language_of
from renders.wording.line import Line

LIGHT, PRINT = style.load("light"), style.load("print")
BOX = (20.0, 30.0, 150.0, 90.0)
FRONT = adult_male().lips_front
OPEN = LipShape(6.0, 0.0, 0.0, 0.0, 6.0, FRONT)


def folds(gap_mm: float, voice: float, wave: float = 0.0) -> tuple[Op, ...]:
    return folds_view(adult_male().folds_above, gap_mm, voice, wave, BOX, LIGHT)


def lips(**change: float) -> tuple[Op, ...]:
    return lips_view(replace(OPEN, **change), BOX, LIGHT)


def flat(ops: tuple[Op, ...]) -> list[Op]:
    out: list[Op] = []
    for op in ops:
        out += flat(op.ops) if isinstance(op, Group) else [op]
    return out


def of(ops: tuple[Op, ...], kind: type, colour: str) -> list:
    return [op for op in flat(ops) if isinstance(op, kind) and op.colour == colour]


def shapes(ops: tuple[Op, ...], look: style.Style = PRINT) -> list[tuple]:
    """What is drawn, with no colour: the numbers of every recorded call, rounded."""
    calls = recorded_calls(Picture(300, 200, None, (Layer("x", tuple(ops)),)), look)
    return [(call.vertices.round(2).tobytes(), call.face is None, round(call.width, 2), call.dash) for call in calls]


def opening(ops: tuple[Op, ...]) -> np.ndarray:
    """The glottis as drawn: the one area in the colour of air spaces."""
    (hole,) = of(ops, Fill, "airway")
    return hole.path.vertices


def test_folds_words() -> None:
    # 9 mm quiet breathing, about 3 mm aspirated: the task's own values; vibration where voice is half or more
    assert folds_word(9.0, 0.0) == folds_word(2.8, 0.0) == Line("folds.apart")
    assert folds_word(0.0, 0.0) == folds_word(0.2, 0.49) == Line("folds.together")
    assert folds_word(0.0, 1.0) == Line("folds.vibrating")


def test_folds_part_sideways_and_in_mirror() -> None:
    for gap in (0.0, 2.8, 9.0):
        points = opening(folds(gap, 0.0))
        middle = BOX[1] + BOX[3] / 2
        mirrored = np.stack([points[:, 0], 2 * middle - points[:, 1]], axis=-1)
        assert np.allclose(np.sort(points[:, 1]), np.sort(mirrored[:, 1]))
        front, back = points[points[:, 0].argmin(), 1], points[np.abs(points[:, 1] - middle).argmax()]
        assert abs(front - middle) < 2.0, "joined in front"
        assert gap == 0.0 or back[0] > BOX[0] + BOX[2] / 2, "widest behind the middle"


@given(st.floats(0.0, 12.0), st.floats(0.0, 12.0))
@settings(max_examples=40, deadline=None)
def test_a_wider_gap_is_drawn_wider_in_proportion(one: float, two: float) -> None:
    heights = [np.ptp(opening(folds(gap, 0.0))[:, 1]) for gap in (one, two)]
    per_mm = np.ptp(opening(folds(10.0, 0.0))[:, 1]) - np.ptp(opening(folds(9.0, 0.0))[:, 1])
    assert heights[0] - heights[1] == pytest.approx(per_mm * (one - two), abs=1e-6)


def test_waves_stand_for_vibration_and_dots_for_air() -> None:
    vibrating, apart, together = folds(0.0, 1.0), folds(2.8, 0.0), folds(0.0, 0.0)
    (waves,) = of(vibrating, Stroke, "voice")
    middle = BOX[1] + BOX[3] / 2
    for fold in (-1, 1):
        assert (fold * (waves.path.vertices[waves.path.codes == MOVE, 1] - middle) > 0).sum() >= 2
    assert not of(vibrating, Dots, "air")
    assert len(of(apart, Dots, "air")[0].points) >= 3 and not of(apart, Stroke, "voice")
    assert not of(together, Stroke, "voice") and not of(together, Dots, "air")


def test_fold_states_differ_without_colour() -> None:
    states = [shapes(folds(*state)) for state in ((0.0, 0.0), (0.0, 1.0), (2.8, 0.0), (9.0, 0.0))]
    for i, one in enumerate(states):
        for two in states[i + 1 :]:
            assert one != two
    assert states[0] == shapes(folds(0.0, 0.0)), "the comparison can also say: the same"


def test_waves_drift_without_a_jump() -> None:
    def waves(phase: float) -> np.ndarray:
        return np.stack([op.path.vertices for op in of(folds(0.0, 1.0, phase), Stroke, "voice")])

    assert np.allclose(waves(0.0), waves(1.0))
    steps = [np.abs(waves(p + 0.05) - waves(p)).max() for p in np.linspace(0, 1, 20)]
    assert 0.05 < max(steps) < 2.0, "px in 1/20 of a turn: it moves, and never blinks"


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"aperture_mm": -0.9}, "shut"),
        ({"aperture_mm": 0.0}, "shut"),
        ({}, "open"),
        ({"aperture_mm": 4.0, "rounded": 1.0}, "rounded"),
        ({"aperture_mm": 5.5, "spread": 1.0}, "spread"),
        ({"aperture_mm": 0.7, "tucked": 1.0}, "on the teeth"),
    ],
)
def test_lips_words(change: dict[str, float], word: str) -> None:
    assert language_of().say(lips_word(replace(OPEN, **change))) == word


def rim(ops: tuple[Op, ...]) -> np.ndarray:
    """The outer line of the lips: the widest closed stroke in ink."""
    strokes = [op.path.vertices for op in of(ops, Stroke, "ink")]
    return max(strokes, key=lambda points: float(np.ptp(points[:, 0])))


def test_lips_touch_only_when_shut() -> None:
    assert of(lips(aperture_mm=0.0), Stroke, "contact")
    assert not of(lips(aperture_mm=1.0), Stroke, "contact")


def test_width_follows_rounding_and_spreading() -> None:
    # rounding narrows the mouth, spreading widens it: Ladefoged & Johnson, A Course in Phonetics (from memory)
    wide, plain, narrow = (float(np.ptp(rim(lips(**c))[:, 0])) for c in ({"spread": 1.0}, {}, {"rounded": 1.0}))
    assert wide > 1.05 * plain > 1.5 * 1.05 * narrow


def test_upper_lip_has_a_bow() -> None:
    points = rim(lips())
    upper = points[: len(points) // 2]
    upper = upper[np.argsort(upper[:, 0])]
    middle = len(upper) // 2
    dip = upper[middle, 1]
    assert upper[:middle, 1].min() < dip - 1.0 and upper[middle + 1 :, 1].min() < dip - 1.0


def test_teeth_show_over_a_tucked_lip_and_hide_behind_rounded_lips() -> None:
    def seen(**change: float) -> float:
        """How far down the opening the upper teeth reach, as a share of its height."""
        ops = lips(**change)
        (hole,) = of(ops, Fill, "contact_edge")
        (left, top), (right, bottom) = hole.path.vertices.min(axis=0), hole.path.vertices.max(axis=0)
        rows = [op.path.vertices for op in of(ops, Fill, "tooth")]
        middle = [row[np.abs(row[:, 0] - (left + right) / 2) < (right - left) / 4, 1] for row in rows]
        upper = [float(y.max()) for y in middle if y.min() < top + 0.5]
        return (max(upper, default=top) - top) / (bottom - top)

    assert seen(aperture_mm=0.7, tucked=1.0) > 0.75, "the lower lip meets the teeth"
    assert 0.25 < seen() < 0.75
    assert seen(aperture_mm=4.0, rounded=1.0) < 0.2
    assert not of(lips(aperture_mm=0.0), Fill, "tooth")


def beyond_lips(ops: tuple[Op, ...]) -> float:
    """How far in px what is seen in the mouth reaches beyond the lips, which are drawn over it."""
    outline = shapely.Polygon(rim(ops))
    seen = [op for op in ops if isinstance(op, Fill) and op.colour in ("tooth", "contact_edge", "mover")]
    return max(float(shapely.distance(outline, shapely.points(op.path.vertices)).max()) for op in seen)


@given(
    st.floats(-2.0, 26.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(-2.0, 24.0)
)  # fmt: skip
@settings(max_examples=150, deadline=None)
def test_what_is_seen_in_the_mouth_ends_under_the_lips(
    aperture: float, rounded: float, spread: float, tucked: float, jaw: float
) -> None:
    assert beyond_lips(lips_view(LipShape(aperture, rounded, spread, tucked, jaw, FRONT), BOX, LIGHT)) < 1e-6


def test_teeth_beyond_the_lips_are_found() -> None:
    (tooth, *_) = of(lips(), Fill, "tooth")
    assert beyond_lips((*lips(), Fill(Path.polygon(tooth.path.vertices - (0.0, 30.0)), "tooth"))) > 10.0


def beyond_ring(ops: tuple[Op, ...]) -> float:
    """How far what is seen of the larynx reaches beyond its ring, which is drawn over it, as a share of its size."""
    ring = of(ops, Fill, "cart")[-1].path.vertices
    low, high = ring.min(axis=0), ring.max(axis=0)
    drawn = np.concatenate([op.path.vertices for op in ops if isinstance(op, (Fill, Stroke))])
    inside = drawn[~(drawn[:, None] == ring).all(axis=-1).any(axis=-1)]
    return float(np.hypot(*((inside - (low + high) / 2) / (high - low) * 2).T).max()) - 1.0


@given(st.floats(0.0, 12.0), st.floats(0.0, 1.0))
@settings(max_examples=40, deadline=None)
def test_what_is_seen_of_the_larynx_ends_under_its_ring(gap: float, voice: float) -> None:
    # 12 mm: the widest of a posture, articulators/data/posture.toml
    assert beyond_ring(folds(gap, voice)) < -0.02


def test_folds_beyond_the_ring_are_found() -> None:
    assert beyond_ring(folds(20.0, 0.0)) > 0.0


@given(
    st.floats(-2.0, 26.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(-2.0, 24.0)
)  # fmt: skip
@settings(max_examples=150, deadline=None)
def test_lips_stay_in_their_box(aperture: float, rounded: float, spread: float, tucked: float, jaw: float) -> None:
    # the whole range of a posture, articulators/data/posture.toml
    ops = lips_view(LipShape(aperture, rounded, spread, tucked, jaw, FRONT), BOX, LIGHT)
    points = rim(ops)
    assert np.isfinite(points).all()
    assert points[:, 0].min() >= BOX[0] and points[:, 0].max() <= BOX[0] + BOX[2]
    assert points[:, 1].min() >= BOX[1] - 0.01 and points[:, 1].max() <= BOX[1] + BOX[3] + 0.01


def test_every_pictogram_is_its_own_shape() -> None:
    drawn = {kind: shapes(icons.icon(kind, (0, 0, 40, 36), PRINT)) for kind in icons.PICTOGRAMS}
    kinds = list(drawn)
    for i, one in enumerate(kinds):
        assert drawn[one], one
        for two in kinds[i + 1 :]:
            assert drawn[one] != drawn[two], (one, two)
    moved = shapes(icons.icon("flow", (1, 0, 40, 36), PRINT))
    assert moved != drawn["flow"], "the comparison sees a shift of one px"


@pytest.mark.parametrize("kind", icons.PICTOGRAMS)
def test_pictograms_keep_to_their_box(kind: str) -> None:
    calls = recorded_calls(Picture(200, 200, None, (Layer("x", icons.icon(kind, (50, 60, 40, 36), LIGHT)),)), LIGHT)
    points = np.concatenate([call.vertices for call in calls])
    assert points[:, 0].min() > 48 and points[:, 0].max() < 92
    assert points[:, 1].min() > 58 and points[:, 1].max() < 98


def test_unknown_pictogram() -> None:
    with pytest.raises(BadInput, match=r"'blok' is unknown; allowed: .*nearest: blocked"):
        icons.icon("blok", (0, 0, 40, 36), LIGHT)
