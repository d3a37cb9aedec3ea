"""A plan led by times that are given: what is planned and shown falls on them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from vocaltract.motion.heard import HeardSound, HeardVoice, Leading
from vocaltract.motion.led import begins_s, hurried, led, met
from vocaltract.motion.schedule import schedule
from vocaltract.motion.timeline import timeline
from vocaltract.words.text.transcribe import read

TICKET = (
    HeardSound(0.30, 0.42, 0.37, 0.42),
    HeardSound(0.42, 0.52),
    HeardSound(0.52, 0.65, 0.60, 0.65),
    HeardSound(0.65, 0.74),
    HeardSound(0.74, 0.84, 0.81, None),
)
VOICE = HeardVoice(TICKET, np.zeros(48000), 48000, np.full(1001, 120.0))


def test_contact_is_broken_and_voice_starts_when_they_are_heard() -> None:
    """Times given by hand, slower and faster than the rules have them; 1 ms is what the tracks resolve."""
    made = timeline(read("ticket"), heard=VOICE)
    assert isinstance(made.leading, Leading) and made.leading.voice is VOICE
    begins = made.leading.begins_s
    for number, sound in enumerate(TICKET):
        span = made.spans[number]
        assert span.start_s - begins == pytest.approx(sound.start_s, abs=1e-9)
        if sound.release_s is None:
            continue
        (closure,) = (c for c in made.closures if number in c.indices)
        assert closure.end_s - begins == pytest.approx(sound.release_s, abs=0.001)
        if sound.voice_s is not None:
            before, after = (made.at(begins + sound.voice_s + d).voicing for d in (-0.015, 0.015))
            assert (before, after) == (0, 1)


def test_the_plan_takes_all_times() -> None:
    plan = schedule(read("ticket"))
    made = led(plan, VOICE)
    assert made.speech_s[0] == plan.speech_s[0] and begins_s(plan, VOICE) == pytest.approx(plan.speech_s[0] - 0.3)
    assert made.speech_s[1] - made.speech_s[0] == pytest.approx(0.54)
    assert VOICE.duration_s == 1.0


def test_what_is_hurried_is_told_and_followed() -> None:
    """A vowel of 15 ms: syllable nuclei of fast speech last 40 ms and more (Klatt 1976, from memory)."""
    short = (TICKET[0], HeardSound(0.42, 0.435), *(replace(s, start_s=max(s.start_s, 0.435)) for s in TICKET[2:]))
    made = timeline(read("ticket"), heard=replace(VOICE, sounds=short))
    assert any("ɪ is heard to last 15 ms" in note for note in made.utterance.notes)
    assert made.spans[1].end_s - made.spans[1].start_s == pytest.approx(0.015)
    plan = led(schedule(read("ticket")), VOICE)
    assert [note for note in hurried(plan, ()) if "does not shut" in note] != []
    assert timeline(read("ticket"), heard=VOICE).utterance.notes == ()


def test_movement_is_not_made_absurdly_fast() -> None:
    """What could only be met by movement ten times as fast is left as it is."""
    plan = led(schedule(read("ticket")), VOICE)
    was, wanted = met(plan, timeline(read("ticket")).closures, plan.duration_s)
    assert np.all(np.diff(was) > 0) and np.all(np.diff(wanted) > 0)
    slopes = np.diff(was) / np.diff(wanted)
    assert slopes.min() >= 0.4 and slopes.max() <= 2.5
