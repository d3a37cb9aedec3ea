"""Frames drawn by several processes in turn, where the system can split a process and has more than one core.

Each process draws every n-th frame into memory of all of them, so nothing is copied and memory does not grow with
length. Within a process one thread draws.
"""

from __future__ import annotations

import contextlib
import gc
import mmap
import os
import signal
import sys
import threading
from collections.abc import Callable, Iterable, Iterator

import numpy as np

from renders.files.encode import buffers
from renders.files.interrupts import held
from renders.files.writer import Frame

FEWEST = 48  # frames worth a second process: splitting takes as long as drawing a few
PROCESSES = 2  # frames are the same by any number
_MEMORY_BYTES = 60_000_000  # for frames on their way; a frame of 4K takes 33 million

Draw = Callable[[int, int, Iterator[Frame]], Iterator[Frame]]
"""Frames first, first + step and so on, drawn into the arrays that come in turn."""


def workers(frames: int) -> int:
    """How many processes draw a film of so many frames; 1 where that is this one itself."""
    can = sys.platform == "linux" and threading.current_thread() is threading.main_thread()
    if not can or frames < FEWEST:
        return 1
    return PROCESSES if len(os.sched_getaffinity(0)) > 1 else 1


def slots(size: tuple[int, int], count: int, in_flight: int) -> int:
    """How many frames each of ``count`` processes may be ahead, at least what is being encoded."""
    each = size[0] * size[1] * 4
    return max(-(-in_flight // count) + 1, min(8, _MEMORY_BYTES // (each * count)))


@contextlib.contextmanager
def forked_frames(draw: Draw, total: int, size: tuple[int, int], in_flight: int) -> Iterator[Iterable[Frame]]:
    """The frames of a film, by as many processes as help; each is valid until ``in_flight`` more were asked for."""
    count = workers(total)
    if count == 1:
        yield draw(0, 1, buffers(size, in_flight))
        return
    for _ in draw(0, total, buffers(size, 1)):  # what every frame needs is made once, and faults show here
        pass
    with Forked(draw, total, size, count, in_flight) as made:
        yield made


class Forked:
    """Iterates over the frames of a film; a context, which ends the processes. A frame is valid until ``in_flight``
    more were asked for. Where a process fails, its frames are drawn here, so that the fault shows here."""

    def __init__(self, draw: Draw, total: int, size: tuple[int, int], count: int, in_flight: int) -> None:
        self._draw, self._total, self._count, self._in_flight = draw, total, count, in_flight
        self._slots = slots(size, count, in_flight)
        shape = (count, self._slots, size[1], size[0], 4)
        self._memory = mmap.mmap(-1, int(np.prod(shape)))
        self._frames: Frame = np.frombuffer(self._memory, dtype=np.uint8).reshape(shape)
        self._running: list[tuple[int, int, int]] = []  # process, pipe in which it reports frames, pipe for room

    @property
    def processes(self) -> list[int]:
        """The processes that draw."""
        return [process for process, _, _ in self._running]

    def __enter__(self) -> Forked:
        with held():
            for number in range(self._count):
                self._start(number)
        return self

    def _start(self, number: int) -> None:
        reports, report = os.pipe()
        rooms, give = os.pipe()
        gc.freeze()  # what is here already is not looked at again: pages stay shared
        process = os.fork()
        if process == 0:
            status = 1
            try:
                os.close(reports)
                os.close(give)
                self._work(number, report, rooms)
                status = 0
            finally:
                os._exit(status)
        gc.unfreeze()
        os.close(report)
        os.close(rooms)
        self._running.append((process, reports, give))

    def _work(self, number: int, report: int, rooms: int) -> None:
        for name in ("SIGINT", "SIGTERM", "SIGHUP"):  # the parent ends this, also by its own end
            signal.signal(getattr(signal, name), signal.SIG_IGN)
        for _, reports, give in self._running:
            os.close(reports)
            os.close(give)
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, 2)  # a fault is reported by the parent, which draws what is missing

        def room() -> Iterator[Frame]:
            place = 0
            while True:
                if place >= self._slots and not os.read(rooms, 1):
                    os._exit(0)  # nobody wants more
                yield self._frames[number, place % self._slots]
                place += 1

        for _ in self._draw(number, self._count, room()):
            os.write(report, b".")

    def __iter__(self) -> Iterator[Frame]:
        failed: dict[int, Iterator[Frame]] = {}
        for index in range(self._total):
            number, place = index % self._count, index // self._count
            done = index - self._in_flight
            if done >= 0 and done % self._count not in failed:
                with contextlib.suppress(BrokenPipeError):
                    os.write(self._running[done % self._count][2], b".")
            if number not in failed:
                if os.read(self._running[number][1], 1):
                    yield self._frames[number, place % self._slots]
                    continue
                failed[number] = self._missing(number, place)
            yield next(failed[number])

    def _missing(self, number: int, place: int) -> Iterator[Frame]:
        shape = self._frames.shape[2:]

        def new() -> Iterator[Frame]:
            while True:
                yield np.empty(shape, dtype=np.uint8)

        return self._draw(number + place * self._count, self._count, new())

    def __exit__(self, *_: object) -> None:
        with held():
            for process, reports, give in self._running:
                os.close(reports)
                os.close(give)
                with contextlib.suppress(ProcessLookupError):
                    os.kill(process, signal.SIGKILL)
                with contextlib.suppress(ChildProcessError):
                    os.waitpid(process, 0)
            self._running.clear()
