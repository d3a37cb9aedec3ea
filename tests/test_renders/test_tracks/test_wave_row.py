"""The row of the wave: it says what the wave is, where it is, and takes no time from the other rows."""

from __future__ import annotations

import numpy as np
import pytest

from articulators.errors import BadInput
from renders.films.shot import Shot
from renders.paper.picture import Fill
from renders.paper.style import load
from renders.stills.strip import model_wave, strip_picture
from renders.tracks.strip_plan import RowChoice, strip_plan
from renders.tracks.timing_plot import timing_picture
from renders.tracks.wave_row import HeardWave, heard_wave, wave_ops
from renders.wording.languages import language_of
from vocaltract.speech import say

BOX = (0.0, 0.0, 1000.0, 200.0)
ROW = (10.0, 40.0)
HZ = 8000


def drawn(wave: HeardWave) -> np.ndarray:
    """Corners of the wave over one second in 1000 px."""
    ops = wave_ops(wave, lambda t: 1000 * t, (0.0, 1.0), ROW, load("light"))
    fill = next(op for op in ops if isinstance(op, Fill) and op.name == "wave")
    return np.asarray(fill.path.vertices)


def test_a_click_is_drawn_where_and_as_high_as_it_is() -> None:
    samples = np.zeros(HZ)
    samples[2000], samples[6000] = 0.2, -0.1
    points = drawn(heard_wave(samples, HZ))
    top, low = points[points[:, 1].argmin()], points[points[:, 1].argmax()]
    assert top == pytest.approx([250, ROW[0]], abs=1)  # the highest peak reaches the top of its row
    assert low == pytest.approx([750, ROW[0] + 0.75 * ROW[1]], abs=1)


def test_silence_stays_a_thin_line() -> None:
    points = drawn(heard_wave(np.zeros(HZ), HZ))
    assert np.ptp(points[:, 1]) == pytest.approx(1.0)


@pytest.mark.parametrize("rows", ["all", "short"])
def test_with_the_wave_times_stay_where_they_are(rows: RowChoice) -> None:
    desk = say("desk")
    without, plan = strip_plan(desk, BOX, rows), strip_plan(desk, BOX, rows, wave=True)
    assert without.wave is None and plan.wave is not None
    assert [plan.at(t) for t in (0.2, 0.5)] == [without.at(t) for t in (0.2, 0.5)]
    assert plan.voice[0] < plan.wave[0] and sum(plan.wave) < plan.ticks[0] < BOX[3]


def test_the_wave_of_a_word_is_loud_in_its_vowel() -> None:
    desk = say("desk")
    wave = model_wave(desk)
    times = np.arange(len(wave.high)) * wave.step_s
    vowel = next(span for span in desk.spans if span.entry.kind == "vowel")
    assert vowel.start_s < times[wave.high.argmax()] < vowel.end_s
    picture = strip_picture(desk, load("light"), language_of(), wave=wave)
    assert any(getattr(op, "name", "") == "wave" for layer in picture.layers for op in layer.ops)
    assert timing_picture(desk, load("light"), wave=wave).height > timing_picture(desk, load("light")).height


def test_a_film_without_tracks_has_no_wave() -> None:
    with pytest.raises(BadInput, match="wave stands under the tracks"):
        Shot(wave=True, captions=False)
