"""Being asked to end: a command stopped from outside cleans up as it does after Ctrl-C."""

from __future__ import annotations

import contextlib
import signal
from collections.abc import Iterator

REQUESTS = ("SIGTERM", "SIGHUP")  # asked to end; the terminal was closed


@contextlib.contextmanager
def as_interrupts() -> Iterator[None]:
    """Within the block a request to end raises KeyboardInterrupt; one that somebody handles or ignores is let be."""
    before = {}
    for name in REQUESTS:
        number = getattr(signal, name, None)  # not every system has both
        if number is None or signal.getsignal(number) != signal.SIG_DFL:
            continue
        with contextlib.suppress(ValueError):  # only a main thread can be asked
            before[number] = signal.signal(number, signal.default_int_handler)
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
