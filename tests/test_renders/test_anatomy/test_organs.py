"""The organs as they are drawn: what lies in what, what is left out, what is drawn once for a film.

Outside: anatomy (common practice, no source): crown and root are the two parts of a tooth, marrow lies in bone, the
red of the lips between skin and lining. The rest is a rule of ours.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np
import pytest
import shapely

from articulators.curves import Array
from articulators.head import adult_male
from articulators.posture import posture_of
from articulators.section import Section, section
from renders.anatomy import bone, fixed, layers, lips
from renders.anatomy.emphasis import Emphasis, focused
from renders.anatomy.ink import ink
from renders.anatomy.lines import ink_lines
from renders.anatomy.pen import PlatePen
from renders.anatomy.plate import plate
from renders.paper.canvas import Canvas
from renders.paper.picture import Fill, Group, Op, Path, Stroke
from renders.paper.style import load
from renders.paper.view import View

HEAD = adult_male()
VIEW = View((0.0, 0.0, 640.0, 600.0), 4.0, (28.0, -25.0))
POSTURES = {"rest": {}, "open": {"jaw_mm": 12.0}, "larynx raised": {"larynx_mm": 5.0}}


def of(name: str = "rest") -> Section:
    return section(HEAD, posture_of(**POSTURES[name]))


def organs(section: Section, emphasis: Emphasis = layers.EVEN, style: str = "light") -> list[Op]:
    (one,) = layers.organs_of(section, pen(style), emphasis)
    return [*one.front_air, *one.tissue]


def pen(style: str = "light") -> PlatePen:
    return PlatePen(Canvas(VIEW, load(style)))


def each(ops: Iterable[Op]) -> Iterator[Op]:
    for op in ops:
        if isinstance(op, Group):
            yield from each(op.ops)
        else:
            yield op


def names(ops: Iterable[Op]) -> list[str]:
    return [op.name for op in each(ops) if op.name]


def polygon(ring: Array) -> shapely.Geometry:
    return shapely.Polygon(ring).buffer(0)


@pytest.mark.parametrize(("organ", "gum"), [("upper_incisor", "upper_gum"), ("lower_incisor", "lower_gum")])
def test_crown_and_root_are_the_whole_tooth(organ: str, gum: str) -> None:
    crown, root = (polygon(part) for part in bone.crown(HEAD, organ, gum))
    whole = polygon(of()[organ]) if organ == "upper_incisor" else polygon(np.array(bone.outlines.at_rest(HEAD, organ)))
    assert shapely.intersection(crown, root).area < 0.01 * whole.area
    assert crown.area + root.area == pytest.approx(whole.area, rel=0.03)


def test_marrow_lies_in_its_bone_as_deep_as_the_rind_is() -> None:
    jaw, marrow = polygon(bone.outlines.at_rest(HEAD, "mandible")), polygon(bone.lower_marrow(HEAD))
    assert jaw.covers(marrow)
    assert shapely.distance(jaw.exterior, marrow) >= plate().bone.cortex_mm


def test_a_bone_without_shading_has_no_marrow() -> None:
    square = np.array([[0.0, 0.0], [12.0, 0.0], [12.0, 12.0], [0.0, 12.0]])
    colours = {style: [op.colour for op in bone.bone(pen(style), square)] for style in ("light", "line")}
    assert colours == {"light": ["bone", "marrow", "rule"], "line": ["bone", "rule"]}


@pytest.mark.parametrize("name", POSTURES)
def test_the_tongue_keeps_its_surface_and_calms_its_lower_border(name: str) -> None:
    now = of(name)
    lines = ink_lines(now)
    outline, tip, foot = lines["tongue"][0], lines.number("tongue", "tip", 0), lines.number("tongue", "foot", 0)
    assert 0 < tip < foot < len(outline)
    assert np.array_equal(outline[:foot], now["tongue"][:foot])
    assert np.abs(outline - now["tongue"]).max() < 3.0


@pytest.mark.parametrize("side", ["upper", "lower"])
@pytest.mark.parametrize("name", POSTURES)
def test_the_red_of_a_lip_lies_between_skin_and_lining(side: str, name: str) -> None:
    now = of(name)
    lines = ink_lines(now)
    (first,), (last,) = lips.red_range(lines.sections, side)
    assert 0 < first < last < len(now[f"{side}_lip"]) - 1
    reds = [op for op in organs(now) if op.name == f"{side} lip"]
    assert [op.colour for op in reds if isinstance(op, Fill)] == ["lip"]
    free = Emphasis(layers.EVERY_ORGAN, frozenset({"lips"}))
    resting = [op for op in organs(now, free) if op.name == f"{side} lip"]
    assert [op.colour for op in resting if isinstance(op, Fill)] == ["resting"]


def test_air_between_the_lips_fades_in_steps() -> None:
    (one,) = layers.organs_of(of(), pen())
    assert [op.opacity for op in one.front_air if isinstance(op, Fill)] == [row.opacity for row in ink().front_air]


def test_a_batch_is_drawn_as_its_moments_one_by_one() -> None:
    batch = section(HEAD, posture_of(jaw_mm=np.array([2.0, 7.0, 12.0]), larynx_mm=np.array([0.0, 3.0, -2.0])))
    together = layers.organs_of(batch, pen())
    for moment, organs in enumerate(together):
        (alone,) = layers.organs_of(batch.at(moment), pen())
        for one, other in zip(each(organs.tissue), each(alone.tissue), strict=True):
            assert isinstance(one, Fill | Stroke) == isinstance(other, Fill | Stroke)
            if isinstance(one, Fill | Stroke) and isinstance(other, Fill | Stroke):
                assert np.array_equal(one.path.vertices, other.path.vertices)


def test_what_moves_is_drawn_back_to_front() -> None:
    found = names(organs(of()))
    order = ["lower face", "floor of the mouth", "tongue", "tongue edge", "epiglottis", "jaw", "lower incisor",
             "soft palate", "hyoid", "thyroid", "upper lip", "lower lip", "profile"]  # fmt: skip
    assert [name for name in found if name in order] == order


@pytest.mark.parametrize("hidden", sorted(layers.EVERY_ORGAN))
def test_a_hidden_organ_is_not_drawn(hidden: str) -> None:
    drawn = {"tongue": "tongue", "velum": "soft palate", "jaw": "jaw", "epiglottis": "epiglottis", "hyoid": "hyoid",
             "larynx": "thyroid", "lips": "upper lip", "face": "lower face", "palate": "hard palate"}  # fmt: skip
    shown = layers.EVERY_ORGAN - {hidden}
    found = names([*fixed.ground(pen(), HEAD, shown), *organs(of(), Emphasis(shown))])
    whole = layers.EVERY_ORGAN
    every = names([*fixed.ground(pen(), HEAD, whole), *organs(of())])
    assert len(found) <= len(every)
    if hidden in drawn:
        assert drawn[hidden] in every and drawn[hidden] not in found


def test_what_only_changes_its_place_is_drawn_once() -> None:
    one = pen()
    first, second = ([op for op in layers.organs_of(of(n), one)[0].tissue if isinstance(op, Group)]
                     for n in ("rest", "open"))  # fmt: skip
    assert len(first) == len(second) > 5
    for a, b in zip(first, second, strict=True):
        assert all(x is y for x, y in zip(a.ops, b.ops, strict=True))
    moved = [(a.transform, b.transform) for a, b in zip(first, second, strict=True) if a.transform is not None]
    assert any(not np.allclose(a, b) for a, b in moved)


def test_lines_are_stronger_near_what_acts() -> None:
    line = np.stack([np.linspace(0.0, 60.0, 61), np.zeros(61)], axis=-1)
    assert np.all(focused(line, None) == 1.0) and np.all(focused(line, np.empty((0, 2))) == 1.0)
    weights = focused(line, np.array([[20.0, 0.0]]))
    assert int(np.argmax(weights)) == 20 and weights[20] > 1.3 and weights[60] < 1.0


def test_hatching_keeps_within_its_shape_and_at_its_pitch() -> None:
    (lines,) = pen("line").hatch(shapely.box(0.0, 0.0, 30.0, 20.0))
    assert isinstance(lines, Stroke)
    pieces = [points for points, _ in lines.path.pieces()]
    assert all(shapely.box(-1e-9, -1e-9, 30.0 + 1e-9, 20.0 + 1e-9).covers(shapely.LineString(p)) for p in pieces)
    sums = np.sort([p[0].sum() for p in pieces])
    assert np.allclose(np.diff(sums), 2.6)


def test_placed_ops_go_through_the_view() -> None:
    area = Fill(Path.polygon([(28.0, -25.0), (29.0, -25.0), (28.0, -24.0)]), "ink")
    group = pen().placed([area], Path.rectangle(0, 0, 9, 9))
    (inner,) = group.ops
    assert isinstance(inner, Group) and inner.transform is not None
    assert np.allclose(inner.transform[:, :2] @ [28.0, -25.0] + inner.transform[:, 2], [320.0, 300.0])
