"""The noisy measure: a general recogniser of US English, told that it hears one of some words.

Half a second of faint noise lies around each word; averaged over seeds of the noise.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from articulators.curves import Array

RATE_HZ = 16000
AROUND_S = 0.5
NOISE_SHARE = 1e-3  # of the peak
PEAK = 0.5


def decoder(words: Sequence[str]) -> object:
    """A recogniser (pocketsphinx, with the US English model of its wheel) that knows exactly these words."""
    from pocketsphinx import Decoder

    found = Decoder(loglevel="FATAL", lm=None)
    rule = " | ".join(words)
    found.add_jsgf_string("words", f"#JSGF V1.0;\ngrammar words;\npublic <word> = {rule};\n")
    found.activate_search("words")
    return found


def heard(samples: Array, rate_hz: int, listener: object, seed: int) -> str:
    """What is heard in a wave; empty where nothing is."""
    import librosa

    wave = librosa.resample(np.asarray(samples, dtype=np.float32), orig_sr=rate_hz, target_sr=RATE_HZ)
    wave = np.pad(PEAK * wave / np.abs(wave).max(), round(AROUND_S * RATE_HZ))
    wave = wave + np.random.default_rng(seed).standard_normal(len(wave)) * NOISE_SHARE
    data = np.clip(wave * 32767, -32768, 32767).astype("<i2").tobytes()
    listener.start_utt()  # type: ignore[attr-defined]
    listener.process_raw(data, full_utt=True)  # type: ignore[attr-defined]
    listener.end_utt()  # type: ignore[attr-defined]
    found = listener.hyp()  # type: ignore[attr-defined]
    return found.hypstr if found else ""


def share_right(
    words: Sequence[str], say: Callable[[str], tuple[Array, int]], seeds: Sequence[int]
) -> tuple[float, dict[str, list[str]]]:
    """Share of words heard right over all seeds, and what was heard in place of the others."""
    listener = decoder(words)
    wrong: dict[str, list[str]] = {}
    for word in words:
        samples, rate = say(word)
        for seed in seeds:
            found = heard(samples, rate, listener, seed)
            if found != word:
                wrong.setdefault(word, []).append(found)
    return 1 - sum(map(len, wrong.values())) / (len(words) * len(seeds)), wrong
