"""A recording leads: the utterance as it is heard, its times, and what is told of it."""

from __future__ import annotations

from dataclasses import replace

from articulators.errors import BadInput
from vocaltract.motion.heard import HeardVoice
from vocaltract.phonetics.inventory import entry_of
from vocaltract.recording.aligned import FoundSounds, found_sounds
from vocaltract.recording.as_heard import as_heard
from vocaltract.recording.boundaries import check_fits, heard_sounds
from vocaltract.recording.fit import fits
from vocaltract.recording.listener import not_the_text
from vocaltract.recording.quality import check_quality
from vocaltract.recording.recording import RATE_HZ, Recording
from vocaltract.recording.stops import HeardStop
from vocaltract.recording.wave import wave_tracks
from vocaltract.words.utterance import Utterance

UNJUDGED = "how it is said is not judged; a word that differs in one sound would be taken as well"


def lead(asked: Utterance, recording: Recording) -> tuple[Utterance, HeardVoice]:
    """The utterance as it is heard in a recording, with its notes, and when its sounds are.

    BadInput for a recording in which nothing is said, and where something else is said than the text.
    """
    remarks = check_quality(recording)
    alignment = found_in(asked, recording)
    utterance, told = as_heard(asked, alignment)
    notes = (*utterance.notes, *remarks, *told, *(() if recording.boundaries else (UNJUDGED,)))
    voice = HeardVoice(alignment.sounds, recording.samples, RATE_HZ, wave_tracks(recording).pitch_hz)
    return replace(utterance, notes=notes), voice


def found_in(asked: Utterance, recording: Recording) -> FoundSounds:
    """When the sounds of an utterance are heard: as the recording's boundaries say, else as they are found."""
    if recording.boundaries is None:
        found = found_sounds(asked, recording)
        if not fits(asked, found, recording):
            raise BadInput(not_the_text(recording.name, asked.text))
        return found
    check_fits(recording.boundaries, asked, recording.name)
    sounds = heard_sounds(recording.boundaries)
    if sounds[-1].end_s > recording.duration_s:
        raise BadInput(
            f"the boundaries of {recording.name} go on to {sounds[-1].end_s:g} s; it lasts {recording.duration_s:.2f} s"
        )
    stops = {
        number: HeardStop(heard.start_s, heard.release_s, 100.0, heard.voice_s is None)
        for number, (sound, heard) in enumerate(zip(asked.sounds, sounds, strict=True))
        if entry_of(sound.target, sound.features).is_stop
    }
    return FoundSounds(sounds, stops, ())
