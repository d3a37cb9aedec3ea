"""Flash counting: a strobe must fail and a slow fade must pass (WCAG 2.2, success criterion 2.3.1)."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from articulators.errors import BadInput
from articulators.records import parsed
from tests.flash import LIMITS, Limits, count_flashes
from tests.planted import Planted, planted

BLACK, WHITE, RED = (0, 0, 0), (255, 255, 255), (255, 0, 0)


def strobe(
    flashes_per_s: float, one=BLACK, other=WHITE, *, side: float = 1.0, seconds: float = 2.0, fps: int = 60
) -> Iterator[np.ndarray]:
    """A square of ``side`` picture heights that alternates on a grey ground of 640 x 360 px."""
    reach = round(360 * side)
    frames = np.full((2, 360, 640, 3), 60, dtype=np.uint8)
    frames[:, :reach, :reach] = np.array([one, other], dtype=np.uint8)[:, None, None]
    for index in range(round(seconds * fps)):
        yield frames[int(index * 2 * flashes_per_s / fps) % 2]


@pytest.mark.parametrize("rate", [4, 5, 8, 15])
def test_a_strobe_fails_and_is_counted(rate: int) -> None:
    report = count_flashes(strobe(rate), 60)
    assert not report.passes
    assert report.general in (rate, rate + 1)
    assert report.red == 0


@pytest.mark.parametrize("rate", [1, 2, 3])
def test_three_flashes_a_second_are_allowed(rate: int) -> None:
    report = count_flashes(strobe(rate), 60)
    assert report.passes
    assert report.general == rate


def test_a_red_strobe_counts_as_red() -> None:
    """Equal in luminance (0.2126 of red is sRGB grey 127): only the red rule can catch it."""
    report = count_flashes(strobe(5, (127, 127, 127), RED), 60)
    assert report.general == 0
    assert report.red >= 5
    assert not report.passes
    assert count_flashes(strobe(5, (127, 127, 127), (60, 60, 255)), 60).red == 0


def test_a_slow_fade_passes() -> None:
    fade = (
        np.full((90, 160, 3), round(127 + 127 * np.sin(2 * np.pi * i / 60)), np.uint8) for i in range(180)
    )
    report = count_flashes(fade, 60)
    assert report.passes
    assert report.general == 1


@pytest.mark.parametrize(
    ("one", "other", "counts"),
    [
        ((90, 90, 90), (105, 105, 105), False),  # luminance 0.10 to 0.14: change below 0.10
        ((90, 90, 90), (140, 140, 140), True),  # 0.10 to 0.26
        ((235, 235, 235), WHITE, False),  # darker state 0.83, not below 0.80
        ((225, 225, 225), WHITE, True),  # darker state 0.75
    ],
)
def test_thresholds_of_luminance(one, other, counts: bool) -> None:
    assert (count_flashes(strobe(6, one, other), 60).general > 3) == counts


@pytest.mark.parametrize(("side_px", "counts"), [(60, False), (84, False), (101, True), (360, True)])
def test_small_areas_are_exempt(side_px: int, counts: bool) -> None:
    """A quarter of 341 x 256 px at 1024 px width is, at 640 px width, a square of 92 px (WCAG 2.2)."""
    assert (count_flashes(strobe(6, side=side_px / 360), 60).general > 3) == counts


@pytest.mark.parametrize(("side_px", "counts"), [(84, False), (114, False), (134, True)])
def test_a_tall_film_is_judged_as_large_as_it_fits(side_px: int, counts: bool) -> None:
    """360 x 640 px fill 432 x 768 of the screen: a quarter of 341 x 256 px is a square of 123 px of the film."""

    def tall() -> Iterator[np.ndarray]:
        for index in range(180):
            frame = np.full((640, 360, 3), 60, dtype=np.uint8)
            frame[:side_px, :side_px] = WHITE if int(index * 12 / 60) % 2 else BLACK
            yield frame

    assert (count_flashes(tall(), 60).general > 3) == counts


def test_scattered_flashing_adds_up_within_a_field() -> None:
    def checks() -> Iterator[np.ndarray]:
        rows, cols = np.indices((360, 640)) // 20
        even = ((rows + cols) % 2 == 0)[..., None]
        for index in range(120):
            on = (index // 5) % 2 == 0
            yield np.where(even & on, 255, 20).astype(np.uint8).repeat(3, axis=2)

    assert not count_flashes(checks(), 60).passes


def test_flashes_far_apart_in_time_do_not_add_up() -> None:
    def spaced() -> Iterator[np.ndarray]:
        for index in range(300):
            yield np.full((90, 160, 3), 255 if index % 30 == 0 else 0, dtype=np.uint8)

    assert count_flashes(spaced(), 60).general <= 3


def test_worst_time_is_when_it_happens() -> None:
    def late() -> Iterator[np.ndarray]:
        yield from (np.zeros((360, 640, 3), np.uint8) for _ in range(240))
        yield from strobe(6, seconds=2.0)

    assert 4.0 < count_flashes(late(), 60).worst_time_s < 5.2


def test_bad_input() -> None:
    with pytest.raises(BadInput, match="one frame"):
        count_flashes([], 30)
    with pytest.raises(BadInput, match="above 0"):
        count_flashes([np.zeros((9, 9, 3), np.uint8)], 0)


@pytest.mark.parametrize("fault", list(planted(LIMITS.read_text(encoding="utf-8"))), ids=lambda fault: fault.fault)
def test_a_fault_planted_in_the_thresholds_is_refused(fault: Planted) -> None:
    with pytest.raises(BadInput) as caught:
        parsed(fault.text, Limits, "flash.toml")
    assert str(caught.value).startswith("flash.toml: ") and fault.said in str(caught.value)
