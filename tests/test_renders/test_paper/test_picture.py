"""The display list: shapes, frozen arrays, holes by even-odd."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from renders.paper.picture import Dots, Fill, Group, Layer, Path, Picture, Stroke

SQUARE = np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)])


def winding_area(path: Path) -> float:
    """Area by the shoelace formula over all rings, holes counted as negative."""
    total, start = 0.0, 0
    assert path.codes is not None
    for end in np.flatnonzero(path.codes == 79):
        ring = path.vertices[start:end]
        x, y = ring[:, 0], ring[:, 1]
        total += float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2.0
        start = end + 1
    return total


@pytest.mark.parametrize("turn_outer", [1, -1])
@pytest.mark.parametrize("turn_inner", [1, -1])
def test_rings_inside_rings_are_holes(turn_outer: int, turn_inner: int) -> None:
    """100 - 36 + 4: closed form, whichever way the rings were given."""
    hole, island = SQUARE * 0.6 + 2.0, SQUARE * 0.2 + 4.0
    path = Path.polygons([hole[::turn_inner], SQUARE[::turn_outer], island])
    assert winding_area(path) == pytest.approx(68.0)


def test_rings_side_by_side_add_up_and_short_ones_go() -> None:
    path = Path.polygons([SQUARE, SQUARE[::-1] + 20.0, SQUARE[:2]])
    assert winding_area(path) == pytest.approx(200.0)


def test_caller_arrays_are_neither_kept_nor_locked() -> None:
    mine = SQUARE.copy()
    path = Path.polygon(mine)
    mine[0] = 99.0
    assert path.vertices[0, 0] == 0.0
    with pytest.raises(ValueError, match="read-only"):
        path.vertices[0] = 1.0
    dots = Dots(mine, np.array([1.0, 2.0, 3.0, 4.0]), "ink")
    with pytest.raises(ValueError, match="read-only"):
        dots.radius[0] = 9.0  # type: ignore[index]
    with pytest.raises(dataclasses.FrozenInstanceError):
        path.closed = False  # type: ignore[misc]


def test_rounded_rectangle_and_ellipse_keep_their_bounds() -> None:
    assert Path.rectangle(1, 2, 30, 20, 5).bounds() == (1, 2, 31, 22)
    assert Path.ellipse(5, 5, 3, 2).bounds() == (2, 3, 8, 7)
    round_path = Path.rectangle(0, 0, 10, 10, 99)
    assert np.isfinite(round_path.vertices).all()
    assert round_path.bounds() == (0, 0, 10, 10)


def test_dots_lie_on_their_circles() -> None:
    """A cubic quarter circle passes within 0.03 % of the radius (closed form of the handle 0.5523)."""
    path = Dots(np.array([(3.0, 4.0)]), 2.0, "ink").path()
    p = path.vertices[:4] - (3.0, 4.0)
    t = np.linspace(0.0, 1.0, 21)[:, None]
    curve = (1 - t) ** 3 * p[0] + 3 * (1 - t) ** 2 * t * p[1] + 3 * (1 - t) * t**2 * p[2] + t**3 * p[3]
    np.testing.assert_allclose(np.hypot(*curve.T), 2.0, rtol=3e-4)


@pytest.mark.parametrize(
    "make",
    [
        lambda: Path(np.zeros((3, 3))),
        lambda: Path(np.zeros((3, 2)), np.zeros(2, dtype=np.uint8)),
        lambda: Dots(np.zeros((3, 2)), np.zeros(2), "ink"),
        lambda: Group((), transform=np.eye(3)),
        lambda: Picture(0, 10, None, ()),
    ],
)
def test_wrong_shapes_are_refused(make) -> None:
    with pytest.raises(ValueError, match=r"shape|codes|radius|size"):
        make()


def test_frame_keeps_the_size_and_scaled_changes_it() -> None:
    layer = Layer("one", [Fill(Path.polygon(SQUARE), "ink"), Stroke(Path.line(SQUARE), "ink", 1.0)])
    picture = Picture(100, 50, "paper", [layer], "title")
    other = picture.frame([layer, layer])
    assert (other.width, other.title, len(other.layers)) == (100, "title", 2)
    assert other.layers[0] is layer
    double = picture.scaled(2.0)
    assert (double.width, double.height) == (200, 100)


def test_empty_paths_are_harmless() -> None:
    for path in (Path.polygons([]), Path.lines([]), Path.line(np.empty((0, 2)))):
        assert len(path.vertices) == 0
        assert np.isnan(path.bounds()).all()


@pytest.mark.parametrize("closed", [False, True])
def test_a_bundle_is_its_lines_drawn_as_one(closed: bool) -> None:
    lines = np.array([[[0, 0], [4, 0], [4, 3]], [[10, 0], [14, 0], [14, 3]]], dtype=float)
    bundle, known = Path.bundle(lines, closed), (Path.polygons if closed else Path.lines)(lines)
    assert np.array_equal(bundle.vertices, known.vertices) and np.array_equal(bundle.codes, known.codes)  # type: ignore[arg-type]


def test_a_bundle_of_no_lines_is_empty() -> None:
    assert len(Path.bundle(np.empty((0, 3, 2))).vertices) == 0
