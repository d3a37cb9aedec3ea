"""A named sound measured: its posture, and what that comes to in numbers."""

from __future__ import annotations

from dataclasses import replace

from vocaltract.airway.measure import Measurement, measure_sound
from vocaltract.phonetics.inventory import SoundEntry
from vocaltract.phonetics.postures import posture
from vocaltract.phonetics.speaker import Speaker, man

NO_PLACE = "none in the mouth"  # sounds made in the larynx take their neighbours' mouth


def measured(
    entry: SoundEntry, sound_speed_cm_s: float | None = None, speaker: Speaker | None = None
) -> Measurement:
    """The measurement of a sound's (first) posture, of the man where no speaker is given.

    A sound made in the larynx is measured with the mouth of a neutral vowel.
    """
    key = "ə" if entry.posture == ("next",) else entry.posture[0]
    speaker = speaker or man()
    found = measure_sound(posture(key, speaker), head=speaker.head, sound_speed_cm_s=sound_speed_cm_s)
    if entry.place == "glottal":
        found = replace(found, constriction=replace(found.constriction, place=NO_PLACE))
    return found
