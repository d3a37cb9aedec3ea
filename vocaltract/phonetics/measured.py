"""A named sound measured: its posture, and what that comes to in numbers."""

from __future__ import annotations

from dataclasses import replace

from vocaltract.airway.measure import Measurement, measure_sound
from vocaltract.phonetics.inventory import SoundEntry
from vocaltract.phonetics.postures import posture

NO_PLACE = "none in the mouth"  # sounds made in the larynx take their neighbours' mouth


def measured(entry: SoundEntry, sound_speed_cm_s: float | None = None) -> Measurement:
    """The measurement of a sound's (first) posture; one made in the larynx has the mouth of a neutral vowel."""
    key = "ə" if entry.posture == ("next",) else entry.posture[0]
    found = measure_sound(posture(key), sound_speed_cm_s=sound_speed_cm_s)
    if entry.place == "glottal":
        found = replace(found, constriction=replace(found.constriction, place=NO_PLACE))
    return found
