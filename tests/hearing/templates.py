"""The sharp measure: which of some words, as outside voices say them, a wave is nearest to.

12 MFCCs without the level, and their deltas, every 10 ms; mean and variance of a word taken out, silence at the ends
trimmed, dynamic time warping (librosa). The word with the least mean distance over the voices wins.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache

import numpy as np

from articulators.curves import Array
from tests.hearing.outside_voices import VOICES, said

RATE_HZ = 16000
TRIM_DB = 35.0


def features(samples: Array, rate_hz: int) -> Array:
    """Features (24, frames) of a wave."""
    import librosa

    wave = librosa.resample(np.asarray(samples, dtype=np.float32), orig_sr=rate_hz, target_sr=RATE_HZ)
    wave, _ = librosa.effects.trim(wave, top_db=TRIM_DB, frame_length=400, hop_length=160)
    found = librosa.feature.mfcc(y=wave, sr=RATE_HZ, n_mfcc=13, n_fft=400, hop_length=160, n_mels=40)[1:]
    both = np.concatenate([found, librosa.feature.delta(found, width=5)])
    return np.asarray((both - both.mean(axis=1, keepdims=True)) / (both.std(axis=1, keepdims=True) + 1e-9))


@lru_cache(maxsize=4096)
def of_voice(word: str, voice: str) -> Array:
    """Features of a word as an outside voice says it."""
    return features(*said(word, voice))


def distance(a: Array, b: Array) -> float:
    """How far two sets of features (24, frames) lie apart along the best way through both, for one step of it."""
    import librosa

    costs, way = librosa.sequence.dtw(a, b, metric="euclidean")
    return float(costs[-1, -1] / len(way))


def distances(found: Array, words: Sequence[str], voices: Sequence[str] = VOICES) -> dict[str, float]:
    """Mean distance over the voices of features to each word."""
    return {word: float(np.mean([distance(found, of_voice(word, voice)) for voice in voices])) for word in words}


def nearest_word(found: Array, words: Sequence[str], voices: Sequence[str] = VOICES) -> str:
    """The word that features are nearest to."""
    by_word = distances(found, words, voices)
    return min(by_word, key=by_word.__getitem__)


def misheard(words: Sequence[str], say: Callable[[str], tuple[Array, int]]) -> dict[str, str]:
    """Words that are taken for another one, each with that."""
    heard = {word: nearest_word(features(*say(word)), words) for word in words}
    return {word: other for word, other in heard.items() if word != other}


def misheard_in_pairs(pairs: Sequence[tuple[str, str]], say: Callable[[str], tuple[Array, int]]) -> list[str]:
    """Words of pairs that are taken for the other of their pair."""
    return [
        f"{word} ({pair[1 - number]})"
        for pair in pairs
        for number, word in enumerate(pair)
        if nearest_word(features(*say(word)), pair) != word
    ]
