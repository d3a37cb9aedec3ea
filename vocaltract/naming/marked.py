"""A word with the letters of one sound marked: s[ea]t, s_ea_t, or the letters and the word apart."""

from __future__ import annotations

import re
import unicodedata

from articulators.errors import BadInput
from vocaltract.phonetics.inventory import SoundEntry, entry_of, narrow_variants
from vocaltract.words.utterance import Sound, Utterance

_MARKED = re.compile(r"(?P<before>[^\W\d_'’ -]*)(?:\[(?P<a>[^\W\d_]+)\]|_(?P<b>[^\W\d_]+)_)(?P<after>[^\W\d_'’]*)")


def marked_word(text: str) -> tuple[str, int, int] | None:
    """(word, first marked letter, letter after the last) of ``s[ea]t`` or ``s_ea_t``; None for anything else."""
    found = _MARKED.fullmatch(text.strip())
    if found is None or not (found["before"] or found["after"]):
        return None
    letters = found["a"] or found["b"]
    start = len(found["before"])
    return found["before"] + letters + found["after"], start, start + len(letters)


def sound_in(word: str, start: int, stop: int) -> SoundEntry:
    """The sound that letters ``start`` to ``stop`` of a word stand for.

    BadInput where they stand for none or for several, and where the word cannot be read.
    """
    letters = word[start:stop]
    here = [s for s in _sounds(word) if s.spelling and s.spelling[0] < stop and start < s.spelling[1]]
    if len(here) == 1:
        return _entry(here[0])
    if not here:
        raise BadInput(f"'{letters}' stands for no sound in '{word}' {_read(word).transcription}; mark other letters")
    several = " and ".join(s.symbol for s in here)
    raise BadInput(f"'{letters}' stands for {len(here)} sounds in '{word}', {several}; mark the letters of one")


def as_in(word: str, letters: str = "") -> SoundEntry:
    """The sound of these letters in a word; without letters its one vowel, or the stressed one.

    BadInput where the letters do not stand in the word, or stand for none or several sounds.
    """
    if not letters:
        stressed = [s for s in _sounds(word) if s.stress == 1]
        if len(stressed) != 1:
            raise BadInput(f"'{word}' has no one stressed vowel; mark the letters of the sound, as in s[ea]t")
        return _entry(stressed[0])
    at = [found.start() for found in re.finditer(re.escape(letters.casefold()), word.casefold())]
    if not at:
        raise BadInput(f"'{letters}' does not stand in '{word}'; mark letters of the word, as in s[ea]t")
    found = {entry.symbol: entry for entry in (sound_in(word, n, n + len(letters)) for n in at)}
    if len(found) > 1:
        choices = " and ".join(found)
        raise BadInput(f"'{letters}' stands for {choices} in '{word}'; mark the one that is meant, as in s[ea]t")
    return next(iter(found.values()))


def sounds_of(word: str) -> dict[str, SoundEntry]:
    """The sounds of a word by symbol."""
    return {entry.symbol: entry for entry in map(_entry, _sounds(word))}


def _entry(said: Sound) -> SoundEntry:
    """What the mouth makes there; a consonant that is a syllable of its own is shown as one."""
    return entry_of(said.symbol if "syllabic" in said.features and said.symbol in narrow_variants() else said.target)


def _sounds(word: str) -> tuple[Sound, ...]:
    return _read(word).sounds


def _read(word: str) -> Utterance:
    from vocaltract.words.text.transcribe import read  # a symbol needs no dictionary, and need not wait for one

    utterance = read(unicodedata.normalize("NFC", word))
    if len(utterance.words) != 1:
        raise BadInput(f"'{word}' is not one word; give one, as in s[ea]t")
    return utterance
