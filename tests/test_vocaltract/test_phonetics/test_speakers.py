"""Speakers asked for by name, and what is said by one: the same in the plan, the timeline and the measurement."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

import vocaltract as vt
from articulators.errors import BadInput
from vocaltract.motion.schedule import schedule
from vocaltract.motion.timeline import timeline
from vocaltract.phonetics.postures import posture
from vocaltract.phonetics.speaker import Speaker, man
from vocaltract.phonetics.speakers import SPEAKERS, speaker_of
from vocaltract.words.text.transcribe import read


def test_every_name_is_a_speaker_with_a_voice_of_a_speaking_person() -> None:
    # mean speaking pitch of men, women and children: 85 to 300 Hz (Baken & Orlikoff 2000, from memory)
    for name in SPEAKERS:
        speaker = speaker_of(name)
        assert speaker.name == name and 85 <= speaker.voice.pitch_hz <= 300
    assert speaker_of(None) is speaker_of("man") is man()


@pytest.mark.parametrize(
    "ask", [speaker_of, lambda name: vt.say("key", speaker=name), lambda name: vt.measure("[i]", speaker=name)]
)
def test_an_unknown_name_is_refused_with_those_that_there_are(ask: object) -> None:
    with pytest.raises(BadInput, match=r"speaker 'men' is unknown; allowed: man.*nearest: man"):
        ask("men")  # type: ignore[operator]


def other() -> Speaker:
    """The man with the mouth of ɑ in place of i, and half as fast again."""
    return dataclasses.replace(man(), name="other", rate=1.5, solved={**man().solved, "i": man().solved["ɑ"]})


def test_what_a_speaker_says_is_made_of_the_postures_of_that_speaker() -> None:
    said = timeline(read("key"), other())
    middle = said.posture(np.array([sum(said.spans[-1].hold_s) / 2])).values[0]
    far = [float(np.abs(middle - posture("i", who).values).max()) for who in (said.speaker, man())]
    assert far[0] < 1 < far[1]
    assert schedule(read("key"), speaker=said.speaker).spans[-1].postures == (posture("i", said.speaker),)


def test_a_speaker_has_a_tempo_of_its_own() -> None:
    assert vt.say("key", speaker=other()).duration_s == vt.say("key", rate=1.5).duration_s < vt.say("key").duration_s


def test_a_measurement_is_of_the_speaker_asked_for() -> None:
    assert np.array_equal(vt.measure("[i]", speaker=other()).formants_hz, vt.measure("[ɑ]").formants_hz)
