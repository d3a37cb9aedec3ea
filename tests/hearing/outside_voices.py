"""Words said by a public synthesiser of another kind, as voices to compare with."""

from __future__ import annotations

import io
import shutil
import subprocess
import wave
from functools import lru_cache

import numpy as np

from articulators.curves import Array

PROGRAM = "espeak-ng"
VOICES = ("en-us", "en-us+m3", "en-us+f3", "en-us+m7", "en-us+f2", "en-us+klatt4")
WORDS_A_MINUTE = 130


def present() -> bool:
    """Whether the program is installed."""
    return shutil.which(PROGRAM) is not None


@lru_cache(maxsize=4096)
def said(word: str, voice: str, words_a_minute: int = WORDS_A_MINUTE) -> tuple[Array, int]:
    """A word in a voice: samples (n,) from -1 to 1, and their rate in Hz."""
    command = [PROGRAM, "-v", voice, "-s", str(words_a_minute), "--stdout", word]
    found = subprocess.run(command, capture_output=True, check=True).stdout
    with wave.open(io.BytesIO(found)) as file:
        samples = np.frombuffer(file.readframes(1 << 24), dtype="<i2") / 32768
        return samples, file.getframerate()
