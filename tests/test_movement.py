"""Points of tissue move no faster than measured ones: a fixed 30 of the 240 texts of `python -m tests.movement`.

Limits and their sources: tests/reference/speeds_of_movement.csv (Kuehn & Moll 1976, Ostry & Munhall 1985, Adams and
others 1993, Tasko & Westbury 2002, Kuehn 1976). The ease of the articulators was chosen with them in view.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import numpy as np
import pytest

from tests.movement import figures as measured
from tests.movement.figures import figures, outside, peaks, texts
from tests.movement.points import STEP_S, movements, peak_acceleration_m_s2, speeds
from tests.sweep.faults import phrases
from vocaltract.motion import tracks
from vocaltract.motion.schedule import Schedule

EVERY = 8


@cache
def sample() -> dict[str, float]:
    return figures(peaks(text) for text in texts()[::EVERY])


def test_every_speed_is_within_its_limits() -> None:
    assert outside(sample()) == {}


@pytest.mark.parametrize("rate", [0.5, 2.0])
def test_no_tempo_makes_tissue_move_faster_than_it_can(rate: float) -> None:
    """In fast speech amplitude gives way, not speed (D. P. Kuehn & K. L. Moll 1976, some speakers; from memory)."""
    found = figures(peaks(text, rate) for text in texts()[:: 3 * EVERY])
    assert {key for key in outside(found) if key.endswith("_most")} == set()


def test_the_texts_are_240_and_fixed() -> None:
    assert len(set(texts())) == 240
    assert len(set(phrases())) == 300


@pytest.fixture
def stiff(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Articulators that follow three times as quickly."""

    def quick(plan: Schedule, times_s: np.ndarray) -> np.ndarray:
        whole = tracks._ease_s()
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(tracks, "_ease_s", lambda: whole / 3)
            return tracks.mouth_tracks(plan, times_s)

    monkeypatch.setattr(measured, "mouth_tracks", quick)
    yield


@pytest.mark.usefixtures("stiff")
def test_comparer_sees_articulators_that_follow_too_quickly() -> None:
    wrong = outside(figures(peaks(text) for text in texts()[::EVERY]))
    assert {"tip_p90", "back_most", "palate_most", "lower_lip_acceleration"} <= set(wrong)


def test_speeds_of_a_known_movement() -> None:
    """A sine of 5 mm and 4 Hz: peak speed 2 pi f a = 125.7 mm/s, peak acceleration (2 pi f)^2 a = 3.16 m/s2."""
    times = np.arange(0.0, 0.5, STEP_S)
    path = np.stack([5 * np.sin(2 * np.pi * 4 * times), 0 * times], axis=-1)[:, None]
    assert speeds(path).max() == pytest.approx(125.7, rel=0.01)
    assert peak_acceleration_m_s2(path, np.ones(len(times), dtype=bool)) == pytest.approx(3.16, rel=0.01)
    assert peak_acceleration_m_s2(path, np.zeros(len(times), dtype=bool)) == 0.0
    inner = movements(path)[1:-1]
    assert len(inner) >= 2
    for movement in inner:
        assert movement.way_mm == pytest.approx(10.0, rel=0.05)
        assert movement.peak_mm_s == pytest.approx(125.7, rel=0.02)
