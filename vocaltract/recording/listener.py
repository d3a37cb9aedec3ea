"""The door to the recogniser, which is loaded where a recording is used and nowhere else."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from articulators.curves import Array
from articulators.errors import BadInput, SurroundingsError
from vocaltract.recording.phones import ListenedWord
from vocaltract.recording.recording import HEARING_RATE_HZ

FRAME_S = 0.01
SILENCE_S = 0.1  # of faint noise before and after: recordings that are cut close begin with no silence
PEAK = 0.5
NOISES = (1e-3, 2e-3, 3e-4)
"""Faint noise, one after the other till the words are found: absolute silence is nothing that the model has heard."""
SILENT_DB = 45.0  # under the loudest; longer silence shifts the mean that the model takes out
NEWEST = (3, 13)
"""Of Python, for which the recogniser comes ready made."""


@dataclass(frozen=True, slots=True)
class HeardPhone:
    """A phone found: its name, from when to when in seconds, and how well it fits, a frame (nearer 0 is better)."""

    name: str
    start_s: float
    end_s: float
    score: float


class Listener:
    """One recogniser, which keeps its model of sounds and learns the words that it needs."""

    def __init__(self) -> None:
        self._decoder: Any = decoder()
        self._words: dict[tuple[str, ...], str] = {}

    def aligned(self, words: Sequence[ListenedWord], samples: Array) -> list[list[HeardPhone]] | None:
        """For each word its phones in samples (n,) at HEARING_RATE_HZ; None where the words cannot be in them."""
        names = [self._name(word.phones) for word in words]
        begin, end = spoken_part(samples)
        shift = begin / HEARING_RATE_HZ - SILENCE_S
        for noise in NOISES:
            found = self._aligned(names, as_listened(samples[begin:end], noise), shift)
            if found is not None:
                return found
        return None

    def _aligned(self, names: list[str], data: bytes, shift_s: float) -> list[list[HeardPhone]] | None:
        self._decoder.set_align_text(" ".join(names))
        self._listen(data)
        if self._decoder.hyp() is None:
            return None
        try:
            self._decoder.set_alignment()
            self._listen(data)
            found = self._decoder.get_alignment()
        except RuntimeError:
            return None
        # phones are read while the alignment that owns them lives
        words = [[_phone(p, shift_s) for p in word] for word in found or () if word.name.partition("(")[0] in names]
        return words if len(words) == len(names) else None

    def _name(self, phones: tuple[str, ...]) -> str:
        if phones not in self._words:
            name = "w" + "_".join(phones).lower()
            self._decoder.add_word(name, " ".join(phones), True)
            self._words[phones] = name
        return self._words[phones]

    def _listen(self, data: bytes) -> None:
        self._decoder.start_utt()
        self._decoder.process_raw(data, no_search=False, full_utt=True)
        self._decoder.end_utt()


def spoken_part(samples: Array) -> tuple[int, int]:
    """First and last sample of what is loud enough to be speech, with as much around it as there is up to SILENCE_S."""
    size = HEARING_RATE_HZ // 100
    blocks = np.square(samples[: len(samples) // size * size]).reshape(-1, size).mean(axis=1)
    loud = np.flatnonzero(blocks > blocks.max(initial=0.0) * 10 ** (-SILENT_DB / 10))
    if not len(loud):
        return 0, len(samples)
    around = round(SILENCE_S * HEARING_RATE_HZ)
    return max(int(loud[0]) * size - around, 0), min((int(loud[-1]) + 1) * size + around, len(samples))


def as_listened(samples: Array, noise: float = NOISES[0]) -> bytes:
    """Samples (n,) as the recogniser takes them: as loud as it is used to, with faint noise around."""
    wave = np.pad(PEAK * samples / max(float(np.abs(samples).max()), 1e-9), round(SILENCE_S * HEARING_RATE_HZ))
    wave = wave + noise * np.random.default_rng(1).standard_normal(len(wave))
    return np.asarray(np.clip(wave * 32767, -32768, 32767)).astype("<i2").tobytes()


def _phone(found: Any, shift_s: float) -> HeardPhone:
    start = found.start * FRAME_S + shift_s
    return HeardPhone(found.name, start, start + found.duration * FRAME_S, found.score / max(found.duration, 1))


@cache
def listener() -> Listener:
    """The one recogniser of this process."""
    return Listener()


def decoder() -> Any:
    """A recogniser without words. SurroundingsError in one line where it is not installed."""
    try:
        from pocketsphinx import Decoder
    except ImportError:
        newest = ".".join(map(str, NEWEST))
        if sys.version_info[:2] > NEWEST:
            here = ".".join(map(str, sys.version_info[:2]))
            raise SurroundingsError(
                f"a recording is followed with pocketsphinx, which has no wheel for Python {here} yet; "
                f"use Python 3.11 to {newest}"
            ) from None
        raise SurroundingsError(
            "a recording is followed with pocketsphinx, which is not installed; pip install 'vocaltract[recording]'"
        ) from None
    return Decoder(lm=None, dict=None, loglevel="FATAL")


def check_found(found: list[list[HeardPhone]] | None, name: str, text: str) -> list[list[HeardPhone]]:
    """What was found. BadInput where nothing was."""
    if found is None:
        raise BadInput(not_the_text(name, text))
    return found


def not_the_text(name: str, text: str) -> str:
    """What is said of a recording in which something else is said than its text."""
    what = f"{name} does not fit '{text}': its sounds are not heard in it in this order"
    return f"{what}; give what is said in it, or --boundaries with where you hear them"
