"""The main job: a lesson on t and d with six words."""

from __future__ import annotations

from collections.abc import Iterator

from tests.benchmarks.figures import Figure, command_seconds, limited

WORDS = ("two", "do", "seat", "seed", "hot tub", "bad guest")


def measure() -> Iterator[Figure]:
    """One run; it takes up to the limit."""
    words = [part for word in WORDS for part in ("--word", word)]
    yield limited(
        "lesson", command_seconds("lesson", "t", "d", *words, "--size", "1280x720", "--out", "lesson")
    )
