"""The sounds of an utterance as a recogniser of American English knows them, in its words."""

from __future__ import annotations

from dataclasses import dataclass

from articulators.errors import BadInput
from vocaltract.words.lexicon.arpabet import arpabet_of, split_stress
from vocaltract.words.utterance import Sound, Utterance

SYLLABIC_PHONES = {"l": "L", "ɫ": "L", "n": "N", "m": "M", "ŋ": "NG", "ɹ": "R"}


@dataclass(frozen=True, slots=True)
class ListenedWord:
    """A word for the recogniser: its phones, and for each the number of the sound that it belongs to."""

    phones: tuple[str, ...]
    sounds: tuple[int, ...]


def listened_words(utterance: Utterance) -> tuple[ListenedWord, ...]:
    """The words of an utterance that have sounds. BadInput for a sound that English does not have."""
    found: dict[int, list[tuple[str, int]]] = {}
    for number, sound in enumerate(utterance.sounds):
        found.setdefault(sound.word, []).extend((phone, number) for phone in _phones(sound))
    return tuple(
        ListenedWord(tuple(phone for phone, _ in word), tuple(number for _, number in word)) for word in found.values()
    )


def _phones(sound: Sound) -> tuple[str, ...]:
    if "syllabic" in sound.features and sound.phoneme in SYLLABIC_PHONES:
        return ("AH", SYLLABIC_PHONES[sound.phoneme])
    for key in (sound.phoneme, sound.target):
        try:
            return (split_stress(arpabet_of(key, sound.stress))[0],)
        except KeyError:
            continue
    raise BadInput(f"a recording can only be followed in sounds of American English; [{sound.symbol}] is none")
