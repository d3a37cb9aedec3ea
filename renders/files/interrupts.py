"""Being asked to end: a command stopped from outside cleans up as it does after Ctrl-C."""

from __future__ import annotations

import _thread
import contextlib
import signal
import sys
import threading
from collections.abc import Iterator
from typing import Any

REQUESTS = ("SIGTERM", "SIGHUP")  # asked to end; the terminal was closed
_ALL = ("SIGINT", *REQUESTS)
_AGAIN_S = 0.01


def _handlers() -> dict[int, Any]:
    """The requests that somebody takes notice of, with what is called then. Not every system has all."""
    numbers = [getattr(signal, name) for name in _ALL if hasattr(signal, name)]
    return {number: signal.getsignal(number) for number in numbers}


@contextlib.contextmanager
def as_interrupts() -> Iterator[list[int]]:
    """Within the block a request to end raises KeyboardInterrupt; one that somebody handles or ignores is let be.

    Gives the requests so far: an interrupt in the middle of an import can come out as another error. One that comes
    where no error can be raised is tried again.
    """
    asked: list[int] = []
    before: dict[int, Any] = {}
    timers: list[threading.Timer] = []
    usual_hook = sys.unraisablehook

    def ask(number: int, _frame: Any) -> None:
        asked.append(number)
        raise KeyboardInterrupt

    def again(lost: Any) -> None:
        if isinstance(lost.exc_value, KeyboardInterrupt):
            timers.append(threading.Timer(_AGAIN_S, _thread.interrupt_main))
            timers[-1].start()
        else:
            usual_hook(lost)

    for number, handler in _handlers().items():
        if handler not in (signal.SIG_DFL, signal.default_int_handler):
            continue
        with contextlib.suppress(ValueError):  # only a main thread can be asked
            before[number] = signal.signal(number, ask)
    sys.unraisablehook = again
    try:
        yield asked
    finally:
        sys.unraisablehook = usual_hook
        for timer in timers:
            timer.cancel()
            timer.join()
        for number, handler in before.items():
            signal.signal(number, handler)
        # CPython ends by SIGINT, whatever the status, where an interrupt came out of the last text it ran, as
        # dataclasses do
        exec("")


@contextlib.contextmanager
def held() -> Iterator[None]:
    """A request that comes within the block waits until its end: for what must be done whole, or taken back."""
    waiting: list[int] = []
    before: dict[int, Any] = {}
    for number, handler in _handlers().items():
        if callable(handler):
            with contextlib.suppress(ValueError):
                before[number] = signal.signal(number, lambda number, _frame: waiting.append(number))
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
        if waiting:
            before[waiting[0]](waiting[0], None)
