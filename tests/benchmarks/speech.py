"""From text to gestures: transcription, durations and the plateaus of every articulator."""

from __future__ import annotations

import time
from collections.abc import Iterator

from tests.benchmarks.figures import Figure, limited

WORDS = 1000


def measure() -> Iterator[Figure]:
    """Processor time for a thousand different words, spread over the common ones, after one has been read."""
    from importlib import resources

    from vocaltract.motion.schedule import schedule
    from vocaltract.motion.tracks import plateaus
    from vocaltract.words.lexicon.dictionary import find
    from vocaltract.words.text.transcribe import read

    table = resources.files("vocaltract.words").joinpath("data/common_words.tsv")
    rows = table.read_text(encoding="utf-8").splitlines()
    known = [word for row in rows if (word := row.partition("\t")[0]).isalpha() and find(word)]
    words = known[:: len(known) // WORDS][:WORDS]
    plateaus(schedule(read("towel")))
    start = time.process_time()
    for word in words:
        plateaus(schedule(read(word)))
    yield limited("gestures_of_1000_words", (time.process_time() - start) * WORDS / len(words))
