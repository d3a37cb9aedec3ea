"""What was asked for and what is heard: the wave decides whether a stop is let go, and the report says so."""

from __future__ import annotations

from dataclasses import replace

from vocaltract.phonetics.inventory import entry_of, organ
from vocaltract.recording.aligned import FoundSounds
from vocaltract.recording.recording_rules import recording_rules
from vocaltract.words.rules.segments import transcription
from vocaltract.words.utterance import Sound, Utterance

HELD = "\u031a"


def as_heard(asked: Utterance, alignment: FoundSounds) -> tuple[Utterance, tuple[str, ...]]:
    """The utterance with its stops held or let go as they are heard, and a line for each that was asked otherwise."""
    sounds, told = list(asked.sounds), []
    for number, stop in alignment.stops.items():
        sound = asked.sounds[number]
        where = f"{sound.symbol} of {asked.words[sound.word]}"
        let_go = stop.release_s is not None
        burst = let_go and stop.burst_db >= recording_rules().stop.released_db
        if "unreleased" in sound.features and burst and _one_closure(asked, number):
            told.append(f"{where}: let go is heard; it and the next sound are shown as one closure")
        elif "unreleased" in sound.features and burst:
            sounds[number] = replace(
                sound, symbol=sound.symbol.replace(HELD, ""), features=sound.features - {"unreleased"}
            )
            told.append(f"{where}: held was asked for, let go is heard, and is shown")
        elif not let_go and _may_be_held(asked, number):
            bare = sound.symbol.replace("\u02b0", "")
            features = (sound.features | {"unreleased"}) - {"aspirated", "weakly_aspirated"}
            sounds[number] = replace(sound, symbol=bare + HELD, features=features)
            told.append(f"{where}: let go was asked for, no burst is heard; it is shown held")
    for number, heard in enumerate(alignment.sounds):
        sound, length_ms = asked.sounds[number], 1000 * (heard.end_s - heard.start_s)
        if "flap" in sound.features and heard.end_s - heard.start_s > recording_rules().stop.tap_longest_s:
            where = f"{sound.symbol} of {asked.words[sound.word]}"
            told.append(f"{where}: a tap was asked for; what is heard lasts {length_ms:.0f} ms, longer than taps do")
    if tuple(sounds) == asked.sounds:
        return asked, tuple(told)
    printed = transcription(sounds, asked.pauses_after)
    return replace(asked, sounds=tuple(sounds), transcription=printed), tuple(told)


def _one_closure(asked: Utterance, number: int) -> bool:
    """Whether the sound after a stop shuts the mouth with the same organ."""
    if number + 1 == len(asked.sounds):
        return False
    here, after = (entry_of(sound.target) for sound in asked.sounds[number : number + 2])
    return after.closes and organ(after) == organ(here)


def _may_be_held(asked: Utterance, number: int) -> bool:
    """Whether a stop is the last of its thought group or comes before another."""
    sound: Sound = asked.sounds[number]
    entry = entry_of(sound.target, sound.features)
    if entry.manner != "plosive" or "unreleased" in sound.features:
        return False
    if number + 1 == len(asked.sounds) or number in asked.pauses_after:
        return True
    return entry_of(asked.sounds[number + 1].target).is_stop
