"""How long a user waits for help, and for the first picture."""

from __future__ import annotations

from collections.abc import Iterator

from tests.benchmarks.figures import Figure, command_seconds, limited


def measure() -> Iterator[Figure]:
    """Median of several new processes each; files are in the system's cache after the first."""
    yield limited("help", command_seconds("--help", times=7))
    yield limited("still", command_seconds("still", "t", "--out", "t.png", times=3))
    yield limited("words", command_seconds("words", "t", times=5))
    yield Figure("vocaltract words t --against d, new process", command_seconds("words", "t", "--against", "d"), "s")
    yield Figure("vocaltract timing backpack --json, new process", command_seconds("timing", "backpack", "--json"), "s")
    yield Figure(
        "vocaltract still t to SVG, new process", command_seconds("still", "t", "--out", "t.svg"), "s"
    )
