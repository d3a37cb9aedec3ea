"""The tract of a timeline in the sections of the sound, against the measurement of the same posture."""

from __future__ import annotations

import numpy as np
import pytest

from vocaltract.airway.measure import measure_sound
from vocaltract.sound.tube import tract_at
from vocaltract.speech import say


def test_sections_hold_the_air_that_is_measured() -> None:
    word = say("towel")
    time = sum(word.spans[1].hold_s) / 2
    tract, measured = tract_at(word, np.array([time])), measure_sound(word.posture(np.array(time)), head=word.head)
    volume = float((tract.area_cm2[0] * tract.section_cm[0]).sum())
    assert tract.area_cm2.shape == (1, 40)  # at most 40 sections
    assert volume == pytest.approx(float((measured.area_cm2 * measured.section_length_cm).sum()), rel=1e-6)


def test_a_batch_is_each_of_its_moments() -> None:
    word = say("towel")
    times = np.linspace(*word.speech_s, 9)
    together = tract_at(word, times)
    for number, time in enumerate(times):
        alone = tract_at(word, np.array([time]))
        assert alone.area_cm2[0] == pytest.approx(together.area_cm2[number], rel=1e-6)
        assert alone.hiss_at[0] == together.hiss_at[number]


def test_a_closure_is_the_place_of_the_hiss_when_it_opens() -> None:
    """t is let go behind the teeth, k far back, p at the lips (Ladefoged & Johnson)."""
    at = []
    for text in ("key", "towel", "pool"):
        word = say(text)
        release = word.spans[0].release_s
        assert release is not None
        at.append(int(tract_at(word, np.array([release + 0.003])).hiss_at[0]))
    assert at[0] < at[1] - 3 and at[1] < at[2]
