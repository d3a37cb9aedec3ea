"""The whole tract in use: sounds as targets, words to sounds, movement in time, airway and air. No drawing.

    import vocaltract as vt

    word = vt.say("luggage", rate=0.8)      # a Timeline
    word.sounds, word.closures, word.at(0.21).mouth_ml_s
    vt.measure("s").formants_hz
    vt.practice_words("v", where="initial").words
    pair = vt.compare("vest", "west")

What is not understood raises `vt.BadInput`, whose one line says what was given and what is allowed. Nothing is loaded
before it is asked for. (The room `vocaltract.words` reads spelling; lists of words are `practice_words`.)
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

from articulators.errors import BadInput

if TYPE_CHECKING:
    from vocaltract.airway.measure import Measurement
    from vocaltract.motion.timeline import Timeline
    from vocaltract.pairs.occurrences import Comparison, compare
    from vocaltract.phonetics.inventory import SoundEntry
    from vocaltract.phonetics.speaker import Speaker
    from vocaltract.speech import Speech, say
    from vocaltract.wordlists import minimal_pairs, practice_words

__version__ = "0.1.0"
__all__ = [
    "BadInput", "Comparison", "Speaker", "Speech", "Timeline", "compare", "measure", "minimal_pairs", "practice_words",
    "say", "sounds",
]  # fmt: skip
_HOMES = {
    "Comparison": "vocaltract.pairs.occurrences",
    "Speaker": "vocaltract.phonetics.speaker",
    "Speech": "vocaltract.speech",
    "Timeline": "vocaltract.motion.timeline",
    "compare": "vocaltract.pairs.occurrences",
    "minimal_pairs": "vocaltract.wordlists",
    "practice_words": "vocaltract.wordlists",
    "say": "vocaltract.speech",
}


def sounds() -> tuple[SoundEntry, ...]:
    """Every sound that can be named: phonemes and their variants, with place, manner, voicing, a keyword."""
    from vocaltract.phonetics.inventory import entries, narrow_variants

    return (*entries().values(), *narrow_variants().values())


def measure(
    name: str, sound_speed_cm_s: float | None = None, speaker: Speaker | str | None = None
) -> Measurement:
    """A sound in numbers: formants_hz and bandwidths_hz (5,), area_cm2 (n,) from the glottis to the lips, and more.

    name     as people say it, such as "s", "long e" or "[ʈ]"
    sound_speed_cm_s  None: that of `data/acoustics.toml`
    speaker  whose mouth makes it, by name too; None: the man's
    BadInput where it names no sound, or several, and for a speaker who is unknown.
    """
    from vocaltract.naming.named import named
    from vocaltract.phonetics.measured import measured
    from vocaltract.phonetics.speakers import speaker_of

    return measured(named(name), sound_speed_cm_s, speaker_of(speaker))


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(importlib.import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
