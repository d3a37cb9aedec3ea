"""From sounds to a plan: when each sound begins, shuts and lets go, before anything has moved."""

from __future__ import annotations

from dataclasses import dataclass

from articulators.errors import BadInput, nearest
from vocaltract.motion.durations import durations_s, like, ms, timing, voice_onset_s
from vocaltract.phonetics.features import CORONAL
from vocaltract.phonetics.inventory import SoundEntry, entry_of
from vocaltract.words.utterance import Sound, Utterance

STYLES = ("citation", "connected")


@dataclass(frozen=True, slots=True)
class Span:
    """One sound in time, all in seconds from the start.

    start_s, end_s      the sound's own stretch; an aspirated stop's reaches to the start of the voice
    hold_s              (start, end) of its closure or narrowing; for vowels of the steady part
    release_s           when the closure is let go; None for sounds without one and for held stops
    voice_s             when voice starts after the release of a stop; None if it does not
    release             how: "oral", "nasal", "lateral", "none" (held), "" (no closure)
    """

    index: int
    sound: Sound
    entry: SoundEntry
    start_s: float
    end_s: float
    hold_s: tuple[float, float]
    release_s: float | None
    voice_s: float | None
    release: str


@dataclass(frozen=True, slots=True)
class Schedule:
    """The plan of an utterance: spans in order, where speech begins and ends, and the whole length in seconds."""

    spans: tuple[Span, ...]
    speech_s: tuple[float, float]
    duration_s: float
    alone: bool


def schedule(utterance: Utterance, style: str = "citation", alone: bool = False) -> Schedule:
    """Plan an utterance. `alone`: one sound by itself, held long enough to be seen.

    Raises BadInput for an utterance without sounds or a style that is none.
    """
    sounds = utterance.sounds
    if not sounds:
        raise BadInput("nothing to say: no sound is given")
    if style not in STYLES:
        raise BadInput(f"style '{style}' is not known; allowed is {' or '.join(STYLES)}" + nearest(style, STYLES))
    lengths = durations_s(utterance)
    t = ms("frame", "rest_before") + ms("movement", "rest")
    begin = t
    spans: list[Span] = []
    carried = 0.0  # breath of the stop before, which the vowel gives back in part
    for i, sound in enumerate(sounds):
        entry = entry_of(sound.target, sound.features)
        length = lengths[i]
        if alone and entry.manner != "tap":
            length = ms("frame", "alone_steady" if sound.is_vowel or not entry.closes else "alone_hold")
        following = sounds[i + 1] if i + 1 < len(sounds) else None
        pause = i in utterance.pauses_after or following is None
        if entry.is_stop:
            span, t = _stop(sounds, i, entry, t, length, pause, style, alone)
            carried = (span.voice_s or span.end_s) - (span.release_s or span.end_s)
        else:
            if sound.is_vowel:
                length = max(length - 0.4 * carried, 0.6 * length)
            hold = (t + 0.25 * length, t + 0.75 * length) if sound.is_vowel else (t + 0.08 * length, t + 0.92 * length)
            if entry.closes:
                hold = (t, t + length)
            release = t + length if entry.closes and not _held_on(sound, following) else None
            kind = "oral" if release is not None else ("none" if entry.closes else "")
            spans.append(Span(i, sound, entry, t, t + length, hold, release, None, kind))
            t += length
            carried = 0.0
        if entry.is_stop:
            spans.append(span)
        if i in utterance.pauses_after and following is not None:
            t += ms("frame", "thought_group_pause")
    end = t
    return Schedule(tuple(spans), (begin, end), end + ms("frame", "rest_after") + ms("movement", "rest") + 0.1, alone)


def _held_on(sound: Sound, following: Sound | None) -> bool:
    """A nasal before a stop of its own place keeps the same closure."""
    if following is None:
        return False
    here, after = entry_of(sound.target), entry_of(following.target)
    return after.is_stop and organ(here) == organ(after)


def _stop(
    sounds: tuple[Sound, ...],
    i: int,
    entry: SoundEntry,
    t: float,
    length: float,
    pause: bool,
    style: str,
    alone: bool,
) -> tuple[Span, float]:
    sound = sounds[i]
    shut = t + length
    if "unreleased" in sound.features:
        end = shut + (ms("frame", "final_release") if pause else 0.0)
        # nothing follows that would mask a release: the closure is kept until the breath has died down
        kept = end + ms("frame", "final_release") if pause else shut
        return Span(i, sound, entry, t, end, (t, kept), None, None, "none"), end
    for feature, kind in (("nasal_release", "nasal"), ("lateral_release", "lateral")):
        if feature in sound.features:
            return Span(i, sound, entry, t, shut, (t, shut), shut, shut if entry.voiced else None, kind), shut
    if entry.manner == "affricate":
        inherent, _ = timing()["friction"][like(sound.target, "friction")]
        end = shut + inherent / 1000
        voice = end if not entry.voiced else shut
        return Span(
            i, sound, entry, t, end, (t, shut), shut, None if pause and not entry.voiced else voice, "oral"
        ), end
    lag = voice_onset_s(sounds, i, style)
    if pause or alone:
        end = shut + ms("frame", "final_release")
        return Span(i, sound, entry, t, end, (t, shut), shut, shut + lag if entry.voiced else None, "oral"), end
    following = entry_of(sounds[i + 1].target)
    if following.manner == "fricative" and not following.voiced:
        return Span(i, sound, entry, t, shut, (t, shut), shut, None, "oral"), shut
    return Span(i, sound, entry, t, shut + lag, (t, shut), shut, shut + lag, "oral"), shut + lag


def organ(entry: SoundEntry) -> str:
    """Which organ shuts or narrows the tract: lips, coronal, dorsal (body or root), or "" for none of them."""
    if entry.place in ("bilabial", "labiodental"):
        return "lips"
    if entry.place in CORONAL and entry.kind != "vowel":
        return "coronal"
    if entry.place != "glottal" and entry.kind != "vowel":
        return "dorsal"
    return ""
