"""Speech time against film time: bursts and taps at natural speed, holds silent."""

from __future__ import annotations

import numpy as np
import pytest

from vocaltract.motion.playback import Playback, constant
from vocaltract.sound.pace import heard_share, transients_s, with_transients
from vocaltract.speech import say


@pytest.mark.parametrize("speed", [0.5, 0.25])
def test_a_stretch_runs_at_natural_speed_from_where_its_picture_begins(speed: float) -> None:
    played = with_transients(constant(1.0, speed), [(0.4, 0.42)])
    begins = 0.4 / speed
    at = played.speech_time_s(np.array([begins, begins + 0.01, begins + 0.02]))
    assert at == pytest.approx([0.4, 0.41, 0.42])
    assert played.duration_s == pytest.approx(1 / speed)
    assert played.speech_time_s(np.array(0.3 / speed)) == pytest.approx(0.3)
    assert played.speech_time_s(np.array(0.6 / speed)) == pytest.approx(0.6)  # the picture has caught up
    assert np.all(np.diff(played.speech_s) >= 0) and np.all(np.diff(played.film_s) > 0)


def test_nothing_changes_at_natural_speed_and_where_the_picture_stands_still() -> None:
    natural = constant(1.0, 1.0)
    assert with_transients(natural, [(0.4, 0.42)]) is natural
    held = Playback(np.array([0.0, 0.82, 1.82, 3.0]), np.array([0.0, 0.41, 0.41, 1.0]), False)
    assert with_transients(held, [(0.4, 0.42)]) is held


def test_a_hold_is_silent_and_fades() -> None:
    held = Playback(np.array([0.0, 1.0, 2.0, 3.0]), np.array([0.0, 0.5, 0.5, 1.0]), False)
    times = np.arange(0, 3, 0.001)
    share = heard_share(held, times)
    assert share[500] == share[2500] == 1 and share[1500] == 0
    assert np.abs(np.diff(share)).max() < 0.1


def test_bursts_and_taps_are_found() -> None:
    assert len(transients_s(say("towel"))) == 1
    water = say("water")
    tap = next(span for span in water.spans if span.entry.manner == "tap")
    assert any(start < tap.hold_s[0] and tap.hold_s[1] < end for start, end in transients_s(water))
