"""A recording leads: the utterance as it is heard, its times, and what is told of it."""

from __future__ import annotations

from dataclasses import replace

from vocaltract.motion.heard import HeardVoice
from vocaltract.recording.aligned import aligned
from vocaltract.recording.as_heard import as_heard
from vocaltract.recording.quality import check_quality
from vocaltract.recording.recording import RATE_HZ, Recording
from vocaltract.recording.wave import wave_tracks
from vocaltract.words.utterance import Utterance

UNJUDGED = "a recording is not judged: of two words that differ in one sound, either fits"


def led_by(asked: Utterance, recording: Recording) -> tuple[Utterance, HeardVoice]:
    """The utterance as it is heard in a recording, with its notes, and when its sounds are.

    BadInput for a recording in which nothing is said, and where something else is said than the text.
    """
    remarks = check_quality(recording)
    alignment = aligned(asked, recording)
    utterance, told = as_heard(asked, alignment)
    notes = (*utterance.notes, *remarks, *told, UNJUDGED)
    voice = HeardVoice(alignment.sounds, recording.samples, RATE_HZ, wave_tracks(recording).pitch_hz)
    return replace(utterance, notes=notes), voice
