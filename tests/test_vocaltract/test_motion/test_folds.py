"""The vocal folds over time, against what is known of devoicing gestures."""

from __future__ import annotations

import numpy as np
import pytest

from articulators.curves import Array
from vocaltract.airway.air import speech_air
from vocaltract.motion import folds
from vocaltract.motion.schedule import Schedule, schedule
from vocaltract.motion.timing import timing
from vocaltract.words.text.transcribe import read

STEP_S = 0.001


def gaps(text: str) -> tuple[Array, Array, Schedule]:
    plan = schedule(read(text))
    times = np.arange(0.0, plan.duration_s, STEP_S)
    return times, folds.glottal_gap_mm(plan, plan.spans, times), plan


def test_the_folds_are_widest_near_the_release_of_an_aspirated_stop() -> None:
    """A. Lofqvist & H. Yoshioka (1980, 1984), from memory."""
    times, gap, plan = gaps("attack")
    stop = next(s for s in plan.spans if "aspirated" in s.sound.features)
    around = (times > stop.hold_s[0]) & (times < stop.end_s)
    assert abs(times[around][np.argmax(gap[around])] - stop.release_s) < 0.015


def test_one_opening_for_s_and_stop() -> None:
    """The same: a cluster of s and stop has one opening, so that the stop is not aspirated."""
    times, gap, plan = gaps("stay")
    first, second = plan.spans[:2]
    hiss = (times >= first.start_s) & (times <= first.end_s)
    closure = (times >= second.hold_s[0] + 0.01) & (times < second.hold_s[1])
    assert gap[closure].max() < 0.5 * gap[hiss].max(), "they have gone together most of the way"
    assert gap[closure].max() - gap[closure].min() < 0.3 * gap[hiss].max(), "and do not part a second time"


@pytest.mark.parametrize("text", ["bed", "two", "room", "zone", "quiet hotel"])
def test_gaps_are_never_negative_and_as_wide_as_breath_at_rest(text: str) -> None:
    _, gap, _ = gaps(text)
    assert gap.min() >= 0 and gap[0] > 2 * speech_air().glottis.voicing_gap_mm
    assert np.abs(np.diff(gap)).max() / STEP_S < 400, "mm/s: nothing jumps"


def test_folds_are_set_for_voice_in_vowels_and_not_in_voiceless_closures() -> None:
    _, _, plan = gaps("two")
    times = np.arange(0.0, plan.duration_s, STEP_S)
    ready = folds.set_to_vibrate(plan, plan.spans, times)
    stop, vowel = plan.spans
    held = (times > stop.hold_s[0] + timing().folds.dies_s + STEP_S) & (times < stop.release_s)
    assert not ready[held].any()
    assert ready[(times > vowel.start_s + 0.02) & (times < vowel.end_s)].all()
