"""No film flashes, in any style: WCAG 2.2, success criterion 2.3.1 (three flashes a second)."""

from __future__ import annotations

import pytest

from renders.films import film
from renders.films.shot import Shot
from renders.paper.style import names
from tests.flash import FlashReport, count_flashes
from vocaltract.speech import say


def flashes(text: str, style: str, size: tuple[int, int], speed: float) -> FlashReport:
    return count_flashes(film.film(say(text), Shot(speed=speed, size=size, style=style)).frames(), 30)


@pytest.mark.parametrize("style", names())
@pytest.mark.parametrize("size", [(320, 180), (180, 320)])
def test_the_worst_sound_of_the_inventory_does_not_flash_at_double_speed(size: tuple[int, int], style: str) -> None:
    """Of all sounds, counted once in both shapes: k, tʃ and ʒ had most, two in a second."""
    report = flashes("[tʃ]", style, size, 2.0)
    assert report.passes and report.red == 0, report


@pytest.mark.parametrize(("size", "style"), [((180, 320), "light"), ((180, 320), "contrast"), ((320, 180), "light")])
def test_many_stops_in_a_row_do_not_flash_at_half_speed(size: tuple[int, int], style: str) -> None:
    """Held and let go again and again: more changes a second than other phrases have."""
    report = flashes("backpacked ticket", style, size, 0.5)
    assert report.passes and report.red == 0, report
