"""When each sound of an utterance is heard in a recording: the recogniser's phones, refined on the wave."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from vocaltract.motion.heard import HeardSound
from vocaltract.phonetics.inventory import SoundEntry, entry_of
from vocaltract.recording.listener import HeardPhone, check_found, listener
from vocaltract.recording.phones import listened_words
from vocaltract.recording.recording import Recording
from vocaltract.recording.recording_rules import recording_rules
from vocaltract.recording.stops import HeardStop, heard_stop, heard_voice_s, voice_ends_s
from vocaltract.recording.wave import WaveTracks, wave_tracks
from vocaltract.words.utterance import Sound, Utterance

SHORTEST_SOUND_S = 0.012
"""No sound is shorter."""
HEARD_PAUSE_S = 0.06
"""A silence between words that is longer is a pause."""


@dataclass(frozen=True, slots=True)
class FoundSounds:
    """When the sounds of an utterance are heard, and what the wave says of its stops by number of the sound."""

    sounds: tuple[HeardSound, ...]
    stops: dict[int, HeardStop]
    phones: tuple[HeardPhone, ...]


def found_sounds(utterance: Utterance, recording: Recording) -> FoundSounds:
    """The sounds of an utterance in a recording. BadInput where they are not in it."""
    words = listened_words(utterance)
    found = check_found(listener().aligned(words, recording.listened_to), recording.name, utterance.text)
    edges: list[list[float]] = [[np.inf, -np.inf] for _ in utterance.sounds]
    for word, phones in zip(words, found, strict=True):
        for number, phone in zip(word.sounds, phones, strict=True):
            edges[number] = [min(edges[number][0], phone.start_s), max(edges[number][1], phone.end_s)]
    tracks = wave_tracks(recording)
    entries = tuple(entry_of(sound.target, sound.features) for sound in utterance.sounds)
    joined = _joined(edges)
    sounds, stops = _with_stops(joined, utterance.sounds, entries, tracks)
    return FoundSounds(sounds, stops, tuple(phone for word in found for phone in word))


def _joined(edges: list[list[float]]) -> list[list[float]]:
    """Edges without the short silences that a recogniser puts between words."""
    for one, other in pairwise(edges):
        if other[0] - one[1] < HEARD_PAUSE_S:
            one[1] = other[0] = (one[1] + other[0]) / 2
    return edges


def _let_go_s(stop: HeardStop | None) -> float:
    return 0.0 if stop is None or stop.release_s is None else stop.release_s


def _with_stops(
    edges: list[list[float]], sounds: tuple[Sound, ...], entries: tuple[SoundEntry, ...], tracks: WaveTracks
) -> tuple[tuple[HeardSound, ...], dict[int, HeardStop]]:
    own = recording_rules().stop
    last = len(sounds) - 1
    found: dict[int, HeardStop] = {}
    heard = [HeardSound(*edge) for edge in edges]
    for i, entry in enumerate(entries):
        if not entry.is_stop:
            continue
        first = i == 0 or edges[i][0] - edges[i - 1][1] >= HEARD_PAUSE_S
        final = i == last or edges[i + 1][0] - edges[i][1] >= HEARD_PAUSE_S
        earliest = max(edges[i - 1][0] + SHORTEST_SOUND_S, _let_go_s(found.get(i - 1))) if i else 0.0
        latest = np.inf if final else (edges[i][1] if entries[i + 1].is_stop else edges[i + 1][1] - SHORTEST_SOUND_S)
        begins = edges[i][0]
        if not first and not entry.voiced and entries[i - 1].kind == "vowel":
            # the recogniser may give the silence of a closure to the vowel before
            begins = min(begins, voice_ends_s(tracks, heard[i - 1].start_s, begins))
        stop = heard_stop(tracks, begins, edges[i][1], first=first, earliest_s=earliest, latest_s=latest)
        if first and stop.release_s is not None:
            floor = edges[i - 1][1] if i else -np.inf
            stop = replace(stop, closure_s=max(stop.release_s - own.first_closure_s, floor))
        found[i] = stop
        start, end, voice = stop.closure_s, edges[i][1], None
        if not first and i:
            heard[i - 1] = replace(heard[i - 1], end_s=start)
            start = heard[i - 1].end_s
        if stop.release_s is not None and entry.manner != "affricate" and not final:
            following = entries[i + 1]
            if not following.is_stop and (following.voiced or following.kind == "vowel"):
                until = edges[min(i + 2, last)][1] if "devoiced" in sounds[i + 1].features else edges[i + 1][1]
                voice = None if stop.voiced and entry.voiced else heard_voice_s(tracks, stop.release_s, until)
                if "devoiced" not in sounds[i + 1].features:
                    end = voice if voice is not None else stop.release_s
            else:
                end = max(stop.release_s, min(end, stop.release_s))
        elif stop.release_s is None:
            end = max(end, start + SHORTEST_SOUND_S)
        end = max(end, start + SHORTEST_SOUND_S, stop.release_s or 0.0)
        heard[i] = HeardSound(start, end, stop.release_s, voice)
        if not final:
            heard[i + 1] = replace(heard[i + 1], start_s=end, end_s=max(heard[i + 1].end_s, end + SHORTEST_SOUND_S))
            edges[i + 1][0] = end
    return tuple(_ordered(heard)), found


def _ordered(heard: list[HeardSound]) -> Iterator[HeardSound]:
    """Sounds one after the other, none shorter than SHORTEST_SOUND_S, and what is within one within it."""
    before = -np.inf
    for number, sound in enumerate(heard):
        start = max(sound.start_s, before) if number else sound.start_s
        end = max(sound.end_s, start + SHORTEST_SOUND_S)
        release = None if sound.release_s is None else min(max(sound.release_s, start + SHORTEST_SOUND_S / 2), end)
        yield HeardSound(start, end, release, sound.voice_s)
        before = end
