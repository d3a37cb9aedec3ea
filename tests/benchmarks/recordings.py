"""Recordings: the recogniser loaded, 3 s followed, and a film led by one beside the film without sound."""

from __future__ import annotations

import tempfile
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from tests.benchmarks.figures import Figure, limited, seconds

RECORDING = Path(__file__).parents[1] / "reference" / "arctic" / "arctic_a0009.wav"
TEXT = "He turned sharply, and faced Gregson across the table"


def measure() -> Iterator[Figure]:
    """Wall-clock times; both films are of the same timeline's length, half speed, 1280x720."""
    from renders.files.recorded import read_recording
    from renders.films.film import film
    from renders.films.shot import Shot
    from vocaltract.recording.lead import lead
    from vocaltract.recording.listener import listener
    from vocaltract.speech import say
    from vocaltract.words.text.transcribe import read

    recording, asked = read_recording(RECORDING), read(TEXT)
    yield limited("recogniser_loaded", seconds(listener))
    yield limited("recording_followed", seconds(lambda: lead(asked, replace(recording, name="again"))))
    with tempfile.TemporaryDirectory() as folder:
        start = time.perf_counter()
        silent = film(say(TEXT), Shot(sound="none")).save(Path(folder, "silent.mp4"))
        alone = (time.perf_counter() - start) / silent["film_s"]
        start = time.perf_counter()
        made = film(say(TEXT, recording=recording), Shot()).save(Path(folder, "led.mp4"))
        led = (time.perf_counter() - start) / made["film_s"]
    yield limited("led_film", led / alone)
