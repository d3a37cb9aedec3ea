"""From sounds to a plan: when each sound begins, shuts and lets go, before anything has moved."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

from articulators.errors import BadInput, nearest
from articulators.posture import Posture
from vocaltract.motion.durations import at_tempo, check_rate, durations_s, like, voice_onset_s
from vocaltract.motion.timing import timing
from vocaltract.phonetics.inventory import SoundEntry, entry_of, organ
from vocaltract.phonetics.postures import posture
from vocaltract.phonetics.speaker import Speaker, man
from vocaltract.words.utterance import Sound, Utterance

STYLES = ("citation", "connected")
PAUSE_S = 0.02
"""Sounds farther apart than this have a pause between them; within a thought group they touch."""


@dataclass(frozen=True, slots=True)
class Span:
    """One sound in time, all in seconds from the start.

    start_s, end_s      the sound's own stretch; an aspirated stop's reaches to the start of the voice, or to a
                        devoiced approximant, which its breath goes out through
    hold_s              (start, end) of its closure or narrowing; for vowels of the steady part
    release_s           when the closure is let go; None for sounds without one and for held stops
    voice_s             when voice starts for what follows a stop: after its release, before it where the stop is
                        prevoiced; None if it does not
    release             how: "oral", "nasal", "lateral", "none" (held), "" (no closure)
    pace                factor on how long its movements take, above 1 in slow speech
    postures            those of its entry, of the speaker; () where the mouth takes its neighbour's shape
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
    pace: float = 1.0
    postures: tuple[Posture, ...] = ()


@dataclass(frozen=True, slots=True)
class Schedule:
    """The plan of an utterance: who speaks, spans in order, where speech begins and ends, the length in seconds."""

    speaker: Speaker
    spans: tuple[Span, ...]
    speech_s: tuple[float, float]
    duration_s: float
    alone: bool
    style: str = "citation"

    @property
    def groups(self) -> tuple[tuple[Span, ...], ...]:
        """Thought groups: spans between which there is no pause."""
        found: list[list[Span]] = []
        for span in self.spans:
            if not found or span.start_s > found[-1][-1].end_s + PAUSE_S:
                found.append([])
            found[-1].append(span)
        return tuple(tuple(group) for group in found)


def schedule(
    utterance: Utterance,
    style: str = "citation",
    alone: bool = False,
    *,
    rate: float = 1.0,
    emphasis: Collection[int] = (),
    prevoiced: bool = False,
    speaker: Speaker | None = None,
) -> Schedule:
    """Plan an utterance. `alone`: one sound by itself, held long enough to be seen.

    rate, emphasis, prevoiced, speaker: as in `vocaltract.motion.timeline.timeline`.
    Raises BadInput for an utterance without sounds, a style that is none, a rate or a word out of range.
    """
    check_rate(rate)
    for word in emphasis:
        if not 0 <= word < len(utterance.words):
            raise BadInput(f"word {word} is not in the utterance; allowed: 0 to {len(utterance.words) - 1}")
    sounds = utterance.sounds
    if not sounds:
        raise BadInput("nothing to say: no sound is given")
    if style not in STYLES:
        raise BadInput(f"style '{style}' is not known; allowed is {' or '.join(STYLES)}" + nearest(style, STYLES))
    lengths = durations_s(utterance, rate, emphasis, style)
    t = timing().frame.rest_before_s + timing().movement.rest_s
    begin = t
    spans: list[Span] = []
    breath_until = 0.0  # when voice starts after the stop before
    carried = 0.0  # breath of the stop before, which the vowel gives back in part
    for i, sound in enumerate(sounds):
        entry = entry_of(sound.target, sound.features)
        length = lengths[i]
        if alone and entry.manner != "tap":
            steady = sound.is_vowel or not entry.closes
            length = timing().frame.alone_steady_s if steady else timing().frame.alone_hold_s
        following = sounds[i + 1] if i + 1 < len(sounds) else None
        pause = i in utterance.pauses_after or following is None
        if entry.is_stop:
            lead = 0.0
            if prevoiced and entry.voiced and (i == 0 or i - 1 in utterance.pauses_after):
                lead = _lead_s(entry)
                length = max(length, lead + timing().lungs.rise_s / 2)
            span, t = _stop(sounds, i, entry, t, length, pause, style, alone, rate)
            if lead and span.release_s is not None:
                span = replace(span, voice_s=span.release_s - lead)
            carried = max((span.voice_s or span.end_s) - (span.release_s or span.end_s), 0.0)
            breath_until = span.voice_s or 0.0
        else:
            if sound.is_vowel:
                length = max(length - 0.4 * carried, 0.6 * length)
            elif "devoiced" in sound.features:
                # the breath of the stop goes out through it: voice starts just before the sound after it
                length = max(length, breath_until + timing().voice_onset.voiced_end_s - t)
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
            t += timing().frame.thought_group_pause_s * at_tempo(timing().tempo.pause, rate)
    end = t
    pace, speaker = max(at_tempo(timing().tempo.movement, rate), 1.0), speaker or man()
    spans = [replace(span, pace=pace, postures=_postures(span.entry, speaker)) for span in spans]
    duration = end + timing().frame.rest_after_s + timing().movement.rest_s + 0.1
    return Schedule(speaker, tuple(spans), (begin, end), duration, alone, style)


def _postures(entry: SoundEntry, speaker: Speaker) -> tuple[Posture, ...]:
    return () if entry.posture == ("next",) else tuple(posture(key, speaker) for key in entry.posture)


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
    rate: float,
) -> tuple[Span, float]:
    sound = sounds[i]
    shut = t + length
    if "unreleased" in sound.features:
        end = shut + (timing().frame.final_release_s if pause else 0.0)
        # nothing follows that would mask a release: the closure is kept until the breath has died down
        kept = end + timing().frame.final_release_s if pause else shut
        return Span(i, sound, entry, t, end, (t, kept), None, None, "none"), end
    for feature, kind in (("nasal_release", "nasal"), ("lateral_release", "lateral")):
        if feature in sound.features:
            return Span(i, sound, entry, t, shut, (t, shut), shut, shut if entry.voiced else None, kind), shut
    if entry.manner == "affricate":
        rows = timing().friction.duration_ms
        inherent, least = rows[like(sound.target, rows)]
        end = shut + (least + (inherent - least) * at_tempo(timing().tempo.sound, rate)) / 1000
        voice = end if not entry.voiced else shut
        return Span(
            i, sound, entry, t, end, (t, shut), shut, None if pause and not entry.voiced else voice, "oral"
        ), end
    lag = voice_onset_s(sounds, i, style, rate)
    if pause or alone:
        end = shut + timing().frame.final_release_s
        return Span(i, sound, entry, t, end, (t, shut), shut, shut + lag if entry.voiced else None, "oral"), end
    following = entry_of(sounds[i + 1].target)
    if following.manner == "fricative" and not following.voiced:
        return Span(i, sound, entry, t, shut, (t, shut), shut, None, "oral"), shut
    voice = shut + lag
    end = min(voice, shut + timing().voice_onset.burst_s) if "devoiced" in sounds[i + 1].features else voice
    return Span(i, sound, entry, t, end, (t, shut), shut, voice, "oral"), end


def _lead_s(entry: SoundEntry) -> float:
    """How long before its release the voice of a prevoiced stop begins, in seconds."""
    table = timing().voice_onset.lead_ms
    key = entry.symbol if entry.symbol in table else timing().like.of_organ[organ(entry) or "dorsal"][True]
    return table[key] / 1000
