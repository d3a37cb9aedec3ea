"""Where things lie in a frame: the numbers of data/layouts.toml fit each other, and a broken file is refused."""

from __future__ import annotations

import pytest

from articulators.errors import BadInput
from articulators.records import parsed, text_of
from renders.commands.film import SHAPES
from renders.files.formats import USUAL_FILM_PX, check_size
from renders.films import layouts
from renders.films.shot import Shot


@pytest.mark.parametrize("name", layouts.numbers().layout)
def test_pieces_lie_inside_the_picture_and_insets_inside_the_side_view(name: str) -> None:
    layout = layouts.numbers().layout[name]
    for x, y, w, h in (layout.view_px, layout.strip, layout.lips, layout.folds, *layout.panels):
        assert x >= 0 and x + w <= layout.width and y >= 0 and y + h <= layout.height
    left, top, wide, high = layout.view_px
    for x, y, w, h in (layout.lips, layout.folds):
        assert left < x and x + w < left + wide and top < y and y + h < top + high
    assert layout.lips[0] + layout.lips[2] < layout.folds[0]
    assert list(layout.rows) == sorted(layout.rows)


def test_shapes_that_can_be_named_are_sizes_that_can_be_made() -> None:
    assert set(SHAPES) == set(layouts.SHAPES_PX)
    assert all(check_size(*size) == size for size in layouts.SHAPES_PX.values())
    assert layouts.SHAPES_PX["wide"] == USUAL_FILM_PX == Shot().size


def test_letters_of_the_tall_layout_are_larger_by_its_own_type() -> None:
    from renders.paper.style import load

    sizes = [load().size("second", kind) for kind in ("vertical", "film")]
    assert layouts.numbers().tall_type.share == pytest.approx(sizes[0] / sizes[1])


@pytest.mark.parametrize(
    ("instead", "by", "said"),
    [
        ("strip_rows = ", "strip_row = ", "layouts.toml: layout.wide: key 'strip_row' is unknown; allowed: kind, "),
        ('source = "by eye"\n', "", "layouts.toml: inset: key 'source' is missing"),
        ('source = "by eye"\n', 'source = " "\n', "layouts.toml: inset: 'source' is empty"),
        ('strip_rows = "all"', 'strip_rows = "al"', "layouts.toml: layout.wide.strip_rows: 'al' is unknown; allowed: "),
        ("rest_s = 0.15", 'rest_s = "short"', "layouts.toml: loop.rest_s: expected `float`, got `str`"),
    ],
)
def test_a_broken_table_is_refused_with_its_place(instead: str, by: str, said: str) -> None:
    text = text_of("renders.films", "layouts.toml")
    assert instead in text
    with pytest.raises(BadInput) as caught:
        parsed(text.replace(instead, by, 1), layouts.Layouts, "layouts.toml")
    assert str(caught.value).startswith(said)
