"""Frames drawn by two processes: all of them, in order, whatever happens to a process, and none is left running."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Iterator

import pytest

from renders.files.writer import Frame
from renders.ink import forked

pytestmark = pytest.mark.skipif(
    sys.platform != "linux" or not hasattr(os, "fork"), reason="processes are split on Linux only"
)

SIZE, IN_FLIGHT = (64, 64), 6


def numbered(total: int, fails_at: int = -1, parent: int = 0):
    """Frames that hold their own number; one fails in every process but the parent."""

    def draw(first: int, step: int, pixels: Iterator[Frame]) -> Iterator[Frame]:
        for index in range(first, total, step):
            if index == fails_at and os.getpid() != parent:
                raise RuntimeError("drawing failed")
            frame = next(pixels)
            frame[:] = index % 251
            yield frame

    return draw


def seen(frames: forked.Forked) -> list[int]:
    """The numbers of the frames, each looked at only when the last that may still be in use was asked for."""
    kept: list[Frame] = []
    numbers = []
    for frame in frames:
        kept.append(frame)
        if len(kept) == IN_FLIGHT:
            numbers.append(int(kept.pop(0)[5, 7, 2]))
    return numbers + [int(frame[5, 7, 2]) for frame in kept]


@pytest.mark.parametrize("count", [1, 2, 3])
@pytest.mark.parametrize("total", [0, 1, 2, 7, 240])
def test_every_frame_in_order(total: int, count: int) -> None:
    with forked.Forked(numbered(total), total, SIZE, count, IN_FLIGHT) as frames:
        assert seen(frames) == [index % 251 for index in range(total)]


@pytest.mark.parametrize("fails_at", [0, 1, 20, 99])
def test_what_a_process_fails_to_draw_is_drawn_here(fails_at: int) -> None:
    with forked.Forked(numbered(100, fails_at, os.getpid()), 100, SIZE, 2, IN_FLIGHT) as frames:
        assert seen(frames) == list(range(100))


def test_a_fault_shows_here() -> None:
    frames = forked.Forked(numbered(100, 31), 100, SIZE, 2, IN_FLIGHT)
    with pytest.raises(RuntimeError, match="drawing failed"), frames:
        seen(frames)


def test_a_process_that_is_killed_is_made_up_for() -> None:
    with forked.Forked(numbered(100), 100, SIZE, 2, IN_FLIGHT) as frames:
        got = iter(frames)
        first = [int(next(got)[0, 0, 0]) for _ in range(9)]
        os.kill(frames.processes[1], signal.SIGKILL)
        assert first + [int(frame[0, 0, 0]) for frame in got] == list(range(100))


def test_no_process_is_left() -> None:
    with pytest.raises(KeyboardInterrupt), forked.Forked(numbered(10**6), 10**6, SIZE, 2, IN_FLIGHT) as frames:
        next(iter(frames))
        started = frames.processes
        raise KeyboardInterrupt
    assert len(started) == 2
    for process in started:
        with pytest.raises(ProcessLookupError):
            os.kill(process, 0)


def test_memory_is_bounded() -> None:
    """A frame of 4K takes 33 MB (3840 x 2160 x 4 bytes)."""
    assert forked.slots((3840, 2160), 2, IN_FLIGHT) * 2 * 3840 * 2160 * 4 < 400e6
    for size in (SIZE, (1920, 1080), (3840, 2160)):
        for count in (1, 2, 4):
            assert forked.slots(size, count, IN_FLIGHT) * count >= IN_FLIGHT
